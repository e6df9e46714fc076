package recording_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"soletrial/pipeline/recording"
	"soletrial/pipeline/recording/fittest"
	"soletrial/pipeline/recording/segment"
	"soletrial/pipeline/trial"
)

func TestGroupsAreThoseOfOneDevice(t *testing.T) {
	at := func(minutes int) fittest.Spec {
		return fittest.Spec{Blocks: 1, Start: inventedStart.Add(time.Duration(minutes) * time.Minute), Serial: 1}
	}
	other := at(20)
	other.Serial = 2
	csv := []byte("t,power\n0,280\n1,281\n")
	files := map[string][]byte{
		"second": fittest.Run(at(10)), "first": fittest.Run(at(0)), "overlaps": fittest.Run(at(2)),
		"other device": fittest.Run(other), "no clock": csv,
	}
	var imports []*recording.Import
	for _, name := range []string{"second", "first", "overlaps", "other device", "no clock"} {
		imports = append(imports, mustRead(t, name, files[name], recording.Options{}))
	}
	if got := fmt.Sprint(recording.Groups(imports, false)); got != "[[1 0] [2] [3] [4]]" {
		t.Errorf("groups %s", got)
	}
	if got := fmt.Sprint(recording.Groups(imports, true)); got != "[[1 0 3] [2] [4]]" {
		t.Errorf("groups of any device %s", got)
	}
}

func TestJoinedRecordingsShareAClock(t *testing.T) {
	first := mustRead(t, "a.fit", fittest.Run(fittest.Spec{Blocks: 1, Start: inventedStart}), recording.Options{})
	second := mustRead(t, "b.fit",
		fittest.Run(fittest.Spec{Blocks: 2, Start: inventedStart.Add(10 * time.Minute), NoDynamics: true}),
		recording.Options{})
	joined := recording.Join([]*recording.Import{first, second})
	s := joined.Samples
	if s.Len() != 300+660 || s.Elapsed[300] != 600 || !joined.Start.Equal(inventedStart) {
		t.Fatalf("%d samples, the second file at %v, start %v", s.Len(), s.Elapsed[300], joined.Start)
	}
	if d := s.Values[trial.DistanceM]; math.Abs(d[300]-d[299]) > 5 || d[959] < d[299]+1000 {
		t.Errorf("distance %v, %v, ..., %v", d[299], d[300], d[959])
	}
	if v := s.Values[trial.StepLengthM]; len(v) != s.Len() || v[300] == v[300] {
		t.Errorf("step length has %d values, %v where the second file has none", len(v), v[300])
	}
	if len(joined.Laps) != 3 || joined.Laps[0].StartS != 600 || fmt.Sprint(joined.Pauses) != "[{299 600}]" {
		t.Errorf("laps %+v, pauses %+v", joined.Laps, joined.Pauses)
	}
	if len(first.Laps) != 1 || first.Samples.Len() != 300 {
		t.Error("the first recording was changed")
	}
}

// One file for each block: together they are the session. The truth is in
// testdata/days/truth.json, on the clock of a recording that starts 115 s before.
func TestBlocksOfOneFileEach(t *testing.T) {
	var files []*recording.Import
	for i := range 8 {
		name := fmt.Sprintf("block%d.fit", i+1)
		src, err := os.ReadFile(filepath.Join("testdata/days", name))
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, mustRead(t, name, src, recording.Options{}))
	}
	if got := recording.Groups(files, false); len(got) != 1 || len(got[0]) != 8 {
		t.Fatalf("groups %v", got)
	}
	joined := recording.Join(files)
	p := segment.Propose(segment.Evidence{Samples: joined.Samples, Laps: joined.Laps, Pauses: joined.Pauses})
	if len(p.Blocks) != 8 {
		t.Fatalf("%d blocks: %+v", len(p.Blocks), p.Blocks)
	}
	for i, b := range p.Blocks {
		start := 120 + 480*float64(i) - 115
		if math.Abs(b.StartS-start) > 8 || math.Abs(b.EndS-start-330) > 8 {
			t.Errorf("block %d: %v to %v, want %v to %v within 8 s", i+1, b.StartS, b.EndS, start, start+330)
		}
	}
}

// Files of two days are found among files without a clock, whichever was named first.
func TestFilesOfTwoDaysAreApart(t *testing.T) {
	day := func(n int) *recording.Import {
		start := inventedStart.AddDate(0, 0, n)
		return mustRead(t, "day.fit", fittest.Run(fittest.Spec{Blocks: 1, Start: start}), recording.Options{})
	}
	laps := mustRead(t, "laps.csv", []byte(lapTable), recording.Options{})
	noClock := mustRead(t, "run.csv", []byte("t,power\n0,280\n1,281\n"), recording.Options{})
	for name, first := range map[string]*recording.Import{"a table of laps": laps, "no clock": noClock} {
		before, after, pause := recording.Apart([]*recording.Import{first, day(1), day(0)})
		if before != 2 || after != 1 || pause < 23*time.Hour || pause > 24*time.Hour {
			t.Errorf("%s first: %d and %d are %v apart, want 2 and 1, nearly a day", name, before, after, pause)
		}
		if _, _, pause := recording.Apart([]*recording.Import{first, day(0)}); pause != 0 {
			t.Errorf("%s and one recording are %v apart", name, pause)
		}
	}
}
