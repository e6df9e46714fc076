package convert

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/muktihari/fit/profile/typedef"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/recording/fittest"
	"soletrial/pipeline/trial"
)

// run is an invented run with four laps of five minutes, positions and an owner.
var run = fittest.Spec{Blocks: 4, BlockS: 300, NativePower: true, Positions: true, Owner: "Ulla Untold",
	Serial: 3141592653}

// readFile reads one file as a reader chose it, with nothing else said.
func readFile(name string, src []byte) Result {
	return Read([]Chosen{{Name: name, Content: src}}, Choice{})
}

func TestFITBecomesOurCSV(t *testing.T) {
	got := readFile("run.fit", fittest.Run(run))
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
	if n := strings.Count(got.Blocks, "\n") + 1; n != 4 || !strings.Contains(got.Blocks, ",lap ") ||
		got.Effort != trial.Power {
		t.Errorf("%d blocks held in %q: %q", n, got.Effort, got.Blocks)
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
	got := readFile("run.fit", fittest.Run(run))
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
	got := readFile("run.gpx", []byte(track))
	if got.Problem != "" || !strings.HasPrefix(string(got.CSV), "elapsed_s,") ||
		strings.Contains(string(got.CSV), "61.12") || strings.Contains(got.Notes, "61.12") || got.Blocks != "" {
		t.Errorf("%+v, %s", got, got.CSV)
	}
}

func TestForeignCSV(t *testing.T) {
	got := readFile("run.csv", []byte("Time (s);Power (W);Speed (km/h)\n0;250;14,4\n1;251;14,4\n"))
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

// A recording in this project's form, as the explorer hands it over for its blocks.
func TestBlocksAreFoundInOurOwnForm(t *testing.T) {
	text := []byte("elapsed_s,power_w,speed_mps\n")
	for s := 0; s < 300+4*420; s += 5 { // easy running, then four blocks of five minutes and rests of two
		power := 250
		if s < 300 {
			power = 150
		} else if (s-300)%420 >= 300 {
			power = 90
		}
		text = fmt.Appendf(text, "%d,%d,%d.%d\n", s, power+s%7-3, power/70, s%10)
	}
	got := readFile("mine.csv", text)
	var starts []string
	for _, line := range strings.Split(got.Blocks, "\n") {
		start, _, _ := strings.Cut(line, ",")
		starts = append(starts, start)
	}
	// The recording was made so: a block begins at 5:00, 12:00, 19:00 and 26:00.
	if all := strings.Join(starts, " "); all != "300.0 720.0 1140.0 1560.0" || got.Effort != trial.Power ||
		got.Problem != "" {
		t.Errorf("blocks begin at %s, held %q, problem %q", all, got.Effort, got.Problem)
	}
}

func TestWhatCannotBeRead(t *testing.T) {
	for name, text := range map[string]string{"empty.fit": "", "x.gpx": "<gpx><trk>",
		"picture.fit": "\x89PNG\r\n\x1a\n", "words.csv": "a letter\nto a friend\n"} {
		if got := readFile(name, []byte(text)); got.CSV != nil || !strings.Contains(got.Problem, name) ||
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
	got := readFile("day.zip", archive.Bytes())
	lines := strings.Split(got.Blocks, "\n")
	if got.Problem != "" || len(lines) != 8 || !strings.HasPrefix(lines[0], "5.0,335.0,") ||
		!strings.HasPrefix(lines[7], "3365.0,3695.0,") {
		t.Errorf("%s\n%s", got.Problem, got.Blocks)
	}
}

// Files of two days are no session, and automatic laps are said to be ignored, as import says.
func TestFilesOfTwoDaysAreRefused(t *testing.T) {
	run := func(start time.Time) []byte { return fittest.Run(fittest.Spec{Start: start, NativePower: true}) }
	day := time.Date(2026, 5, 1, 17, 30, 0, 0, time.UTC)
	first := Chosen{Name: "a.fit", Content: run(day)}
	both := []Chosen{{Name: "b.fit", Content: run(day.AddDate(0, 0, 7))}, first}
	got := Read(both, Choice{})
	if got.Problem != "b.fit was recorded long after a.fit: choose the files of one session" || got.CSV != nil ||
		!got.Doubt {
		t.Errorf("problem %q, a doubt: %v", got.Problem, got.Doubt)
	}
	got = Read(both, Choice{Anyway: true})
	if joined := "b.fit was recorded long after a.fit: they are joined into one recording"; got.Problem != "" ||
		!strings.HasPrefix(got.Notes, joined) {
		t.Errorf("two days anyway: %q, notes %q", got.Problem, got.Notes)
	}
	// A file beside another of the same time is not joined, so nothing says that all are.
	got = Read(append(both, Chosen{Name: "c.fit", Content: run(day)}), Choice{Anyway: true})
	if got.Problem != "" || got.CSV == nil || strings.Contains(got.Notes, "joined into one recording") {
		t.Errorf("two at one time and one of another day: %q, notes %q", got.Problem, got.Notes)
	}
	got = Read([]Chosen{first, {Name: "b.fit", Content: run(day.Add(time.Hour))}}, Choice{})
	if got.Problem != "" || got.CSV == nil || strings.Contains(got.Notes, "long after") {
		t.Errorf("an hour apart: %q", got.Problem)
	}
	src, err := os.ReadFile("../../pipeline/recording/testdata/days/autolaps.fit")
	if err != nil {
		t.Fatal(err)
	}
	if got := readFile("autolaps.fit", src); !strings.HasSuffix(got.Notes, "\n16 automatic laps ignored") {
		t.Errorf("notes %q", got.Notes)
	}
}

// A ride, and a file that is mostly damaged, are taken only by whoever says so, as in import;
// what is then read says it still. The day is that of the recording.
func TestDoubtfulFilesAreAskedAbout(t *testing.T) {
	ride := run
	ride.Sport = typedef.SportCycling
	chosen := []Chosen{{Name: "ride.fit", Content: fittest.Run(ride)}}
	got := Read(chosen, Choice{})
	if got.Problem != "ride.fit: the device recorded it as cycling, not as running" || !got.Doubt || got.CSV != nil {
		t.Errorf("a ride: %+v", got)
	}
	got = Read(chosen, Choice{Anyway: true})
	if got.Problem != "" || got.CSV == nil || !strings.Contains(got.Notes, "recorded it as cycling") ||
		got.Day != "2026-05-01" {
		t.Errorf("a ride anyway: %q, of %q, notes %q", got.Problem, got.Day, got.Notes)
	}
	broken := fittest.Run(run)
	for i := len(broken) * 2 / 5; i < len(broken); i++ {
		broken[i] = 0x0F // a kind of message that was never defined
	}
	if got := readFile("broken.fit", broken); !got.Doubt ||
		got.Problem != "broken.fit: 60 % of it is damaged and cannot be read" {
		t.Errorf("two fifths of a file: %q", got.Problem)
	}
}

const lapTable = "Lap,Time,Distance (km),Avg Pace,Avg HR,Avg Power\n1,2:00,0.150,13:20,97,62\n" +
	"2,5:30,1.320,4:10,147,268\n3,2:00,0.140,13:00,120,0\n4,5:30,1.353,4:04,148,269\n"

// A table of laps comes out as the table, for its means, with the blocks found in it.
func TestATableOfLaps(t *testing.T) {
	got := readFile("laps.csv", []byte(lapTable))
	if got.Problem != "" || !got.Laps || got.Effort != trial.Power ||
		got.Blocks != "120.0,450.0,lap 2\n570.0,900.0,lap 4" ||
		got.Targets != "power=269\npace=4:07\nheart_rate=148" {
		t.Fatalf("%q: blocks %q, held in %q at %q", got.Problem, got.Blocks, got.Effort, got.Targets)
	}
	table, problems := plaintext.ReadSamples(got.CSV, "laps.csv")
	if len(problems) > 0 || table.Len() != 5 || table.Elapsed[4] != 900 || table.Values[trial.PowerW][2] != 0 ||
		math.Abs(table.Values[trial.SpeedMps][3]-1000.0/244) > 1e-6 { // 4:04 for a kilometre
		t.Errorf("%v\n%s", problems, got.CSV)
	}
	laps := Chosen{Name: "laps.csv", Content: []byte(lapTable)}
	got = Read([]Chosen{laps, {Name: "again.csv", Content: laps.Content}}, Choice{})
	if got.Problem != "laps.csv and again.csv both have one row for each lap: open one of them" {
		t.Errorf("two tables: %q", got.Problem)
	}
	got = Read([]Chosen{laps, {Name: "run.fit", Content: fittest.Run(run)}}, Choice{})
	if got.Laps || got.Problem != "" ||
		!strings.Contains(got.Notes, "laps.csv was ignored: it has one row for each lap") {
		t.Errorf("a table beside a recording: %q, %q", got.Problem, got.Notes)
	}
}

// A table whose headings tell nothing: its headings come out with what the values suggest, no
// message names a flag, and a choice of columns makes it readable.
func TestColumnsOfAnUnknownTable(t *testing.T) {
	text := "tick;a;b;c\n"
	for i := range 300 {
		text += fmt.Sprintf("%d;%d;%d;x\n", i, 240+i%9*3, 150+i/100)
	}
	got := readFile("odd.csv", []byte(text))
	if got.Columns == nil || fmt.Sprint(got.Columns.Headings) != "[tick a b c]" ||
		fmt.Sprint(got.Columns.Chosen) != "map[elapsed_s:tick heart_rate_bpm:b power_w:a]" ||
		!strings.Contains(got.Problem, "choose the columns below") || strings.Contains(got.Problem, "--") {
		t.Fatalf("%q with the columns %+v", got.Problem, got.Columns)
	}
	read := Read([]Chosen{{Name: "odd.csv", Content: []byte(text)}}, Choice{Columns: got.Columns.Chosen})
	head, _, _ := strings.Cut(string(read.CSV), "\n")
	if read.Problem != "" || head != "elapsed_s,power_w,heart_rate_bpm" {
		t.Errorf("%q, read with the columns %q", read.Problem, head)
	}
	wrong := map[string]string{"elapsed_s": "tick", "power_w": "c"}
	read = Read([]Chosen{{Name: "odd.csv", Content: []byte(text)}}, Choice{Columns: wrong})
	if read.Problem == "" || read.Columns == nil || read.Columns.Chosen["power_w"] != "c" {
		t.Errorf("a wrong choice gives %q with the columns %+v", read.Problem, read.Columns)
	}
	several := "elapsed_s,power,Power (W),watts\n0,250,251,252\n1,250,251,252\n"
	if read = readFile("two.csv", []byte(several)); strings.Contains(read.Notes+read.Problem, "--") {
		t.Errorf("a flag is named: %q %q", read.Notes, read.Problem)
	}
}

// The standard library's reader is the oracle; the same files give the same bytes.
func TestPack(t *testing.T) {
	files := []Chosen{{Name: "s/a.csv", Content: []byte("1\n")},
		{Name: "s/b.yaml", Content: []byte(strings.Repeat("x", 9999))}}
	packed, err := Pack(files)
	again, _ := Pack(files)
	if err != nil || !bytes.Equal(packed, again) || len(packed) > 1000 {
		t.Fatalf("%d bytes, %v", len(packed), err)
	}
	archive, err := zip.NewReader(bytes.NewReader(packed), int64(len(packed)))
	if err != nil || len(archive.File) != 2 {
		t.Fatal(err)
	}
	for i, entry := range archive.File {
		in, err := entry.Open()
		if err != nil {
			t.Fatal(err)
		}
		content, err := io.ReadAll(in)
		if err != nil || entry.Name != files[i].Name || !bytes.Equal(content, files[i].Content) {
			t.Errorf("%s holds %d bytes, %v", entry.Name, len(content), err)
		}
	}
}
