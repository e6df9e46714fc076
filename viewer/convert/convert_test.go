package convert

import (
	"archive/zip"
	"bytes"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/recording/fittest"
	"soletrial/pipeline/trial"
)

// run is an invented run with four laps of five minutes, positions and an owner.
var run = fittest.Spec{Blocks: 4, BlockS: 300, NativePower: true, Positions: true, Owner: "Ulla Untold",
	Serial: 3141592653}

func TestFITBecomesOurCSV(t *testing.T) {
	got := File("run.fit", fittest.Run(run))
	if got.Problem != "" {
		t.Fatal(got.Problem)
	}
	samples, problems := plaintext.ReadSamples(got.CSV, "run.csv")
	if len(problems) > 0 {
		t.Fatal(problems[0])
	}
	// The encoder's own truth is the oracle.
	if !samples.Has(trial.PowerW) || !samples.Has(trial.HeartRateBpm) || samples.Len() < 4*300 {
		t.Errorf("%d samples, head %.80q", samples.Len(), got.CSV)
	}
	if n := strings.Count(got.Blocks, "\n") + 1; n != 4 || !strings.Contains(got.Blocks, ",lap ") {
		t.Errorf("%d blocks: %q", n, got.Blocks)
	}
	for _, line := range strings.Split(got.Blocks, "\n") {
		if cells := strings.SplitN(line, ",", 3); len(cells) != 3 {
			t.Errorf("the block %q has no three cells", line)
		}
	}
	if !strings.Contains(got.Notes, "position") {
		t.Errorf("the notes do not say that positions were not imported: %q", got.Notes)
	}
}

func TestNothingPersonalComesOut(t *testing.T) {
	got := File("run.fit", fittest.Run(run))
	all := string(got.CSV) + got.Blocks + got.Notes
	for _, secret := range []string{"Ulla", "Untold", "3141592653", "position_lat", "position_long"} {
		if strings.Contains(all, secret) {
			t.Errorf("%q comes out", secret)
		}
	}
	if head, _, _ := strings.Cut(string(got.CSV), "\n"); strings.Contains(head, "position") {
		t.Errorf("the columns are %q", head)
	}
}

const track = `<?xml version="1.0"?><gpx version="1.1" creator="a test" xmlns="http://www.topografix.com/GPX/1/1">
<trk><trkseg>
<trkpt lat="61.123456" lon="5.654321"><ele>12</ele><time>2026-05-01T17:30:00Z</time></trkpt>
<trkpt lat="61.123556" lon="5.654421"><ele>13</ele><time>2026-05-01T17:30:05Z</time></trkpt>
</trkseg></trk></gpx>`

func TestGPXWithoutPositions(t *testing.T) {
	got := File("run.gpx", []byte(track))
	if got.Problem != "" || !strings.HasPrefix(string(got.CSV), "elapsed_s,") ||
		strings.Contains(string(got.CSV), "61.12") || strings.Contains(got.Notes, "61.12") || got.Blocks != "" {
		t.Errorf("%+v, %s", got, got.CSV)
	}
}

func TestForeignCSV(t *testing.T) {
	got := File("run.csv", []byte("Time (s);Power (W);Speed (km/h)\n0;250;14,4\n1;251;14,4\n"))
	samples, problems := plaintext.ReadSamples(got.CSV, "run.csv")
	if got.Problem != "" || len(problems) > 0 {
		t.Fatalf("%s, %v", got.Problem, problems)
	}
	// 14.4 km/h are 4 m/s: 14400 m in 3600 s.
	if v := samples.Values[trial.SpeedMps]; v == nil || math.Abs(v[1]-4) > 1e-9 ||
		!strings.Contains(got.Notes, "km/h") {
		t.Errorf("speed %v, notes %q", v, got.Notes)
	}
}

func TestWhatCannotBeRead(t *testing.T) {
	for name, text := range map[string]string{"empty.fit": "", "x.gpx": "<gpx><trk>",
		"picture.fit": "\x89PNG\r\n\x1a\n", "words.csv": "a letter\nto a friend\n"} {
		if got := File(name, []byte(text)); got.CSV != nil || !strings.Contains(got.Problem, name) ||
			!strings.Contains(got.Problem, "(") {
			t.Errorf("%s gives %+v, want its name and what to do", name, got)
		}
	}
}

// One file for each block, in an archive: together they are the session. The truth is
// in the README beside the files.
func TestAnArchiveOfBlocksIsOneSession(t *testing.T) {
	var archive bytes.Buffer
	w := zip.NewWriter(&archive)
	for i := range 8 {
		name := fmt.Sprintf("block%d.fit", i+1)
		src, err := os.ReadFile("../../pipeline/recording/testdata/days/" + name)
		if err != nil {
			t.Fatal(err)
		}
		f, err := w.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.Write(src); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	got := File("day.zip", archive.Bytes())
	lines := strings.Split(got.Blocks, "\n")
	if got.Problem != "" || len(lines) != 8 || !strings.HasPrefix(lines[0], "5.0,335.0,") ||
		!strings.HasPrefix(lines[7], "3365.0,3695.0,") {
		t.Errorf("%s\n%s", got.Problem, got.Blocks)
	}
}
