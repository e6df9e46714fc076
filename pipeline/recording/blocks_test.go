package recording_test

import (
	"strings"
	"testing"

	"soletrial/pipeline/recording"
	"soletrial/pipeline/recording/fittest"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func session(blockS float64) trial.Session {
	s := trial.Session{ID: "s1"}
	s.Facts.Protocol.BlockS = blockS
	return s
}

func TestProposeBlocks(t *testing.T) {
	imp := mustRead(t, "run.fit", fittest.Run(fittest.Spec{WarmUpS: 200}), recording.Options{})
	blocks := recording.ProposeBlocks(imp.Laps, session(units.Missing))
	if len(blocks) != 5 {
		t.Fatalf("%d blocks, want the warm-up and 4 blocks without the rests of 60 s: %+v", len(blocks), blocks)
	}
	for i, want := range []struct {
		id         string
		start, end float64
		note       string
		excluded   bool
	}{{"1", 0, 200, "lap 1", true}, {"2", 200, 500, "lap 2", false}, {"3", 560, 860, "lap 4", false}, {"4", 920, 1220, "lap 6", false}, {"5", 1280, 1580, "lap 8", false}} {
		b := blocks[i]
		if b.ID != want.id || b.Start != want.start || b.End != want.end || b.Note != want.note || b.Excluded != want.excluded || b.Excluded != (b.Reason != "") {
			t.Errorf("block %d: %+v, want %+v", i+1, b, want)
		}
		if b.Shoe != "" || units.Known(b.DistanceM) || units.Known(b.Target) || units.Known(b.RPE) || units.Known(b.ComfortMm) || units.Known(b.Measured[trial.MeasureSpeed]) {
			t.Errorf("block %d says more than its place: %+v", i+1, b)
		}
	}
	if !strings.Contains(blocks[0].Reason, "slower than the others") {
		t.Errorf("reason %q", blocks[0].Reason)
	}
}

func TestProposeBlocksByProtocol(t *testing.T) {
	lap := func(start, end, distance float64) trial.Lap {
		return trial.Lap{StartS: start, EndS: end, DistanceM: distance}
	}
	laps := []trial.Lap{lap(0, 600, 2400), lap(600, 690, 360), lap(690, 750, 60), lap(750, 840, units.Missing), lap(840, 850, 40)}
	blocks := recording.ProposeBlocks(laps, session(90))
	if len(blocks) != 3 || !blocks[0].Excluded || !strings.Contains(blocks[0].Reason, "longer than the protocol's block of 90 s") || blocks[1].Excluded || blocks[2].Excluded {
		t.Errorf("blocks of 90 s: %+v", blocks)
	}
	if got := recording.ProposeBlocks(nil, session(90)); len(got) != 0 {
		t.Errorf("no laps, yet %+v", got)
	}
}

// The published facts of the file: four intervals of 1000 m (its manifest).
func TestProposeBlocksFromRealIntervals(t *testing.T) {
	imp, _ := realFile(t, "g01_run_intervals_dynamics_footpod.fit", recording.Options{})
	kept := 0
	for _, b := range recording.ProposeBlocks(imp.Laps, session(units.Missing)) {
		if !b.Excluded {
			kept++
			if length := b.End - b.Start; length < 261 || length > 279 {
				t.Errorf("block %+v is %v s long, want one of the intervals of 261 to 278 s", b, length)
			}
		}
	}
	if kept != 4 {
		t.Errorf("%d blocks, want 4", kept)
	}
}

// Which laps divide a run: those that somebody pressed, or a workout made.
func TestPressed(t *testing.T) {
	by := func(trigger string, metres ...float64) (laps []trial.Lap) {
		for i, m := range metres {
			laps = append(laps, trial.Lap{StartS: float64(300 * i), EndS: float64(300*i + 300), DistanceM: m, Trigger: trigger})
		}
		return laps
	}
	workout := by("distance", 1000, 150, 1000, 150)
	workout[1].Trigger, workout[3].Trigger = "time", "time"
	for _, c := range []struct {
		name string
		laps []trial.Lap
		want bool
	}{
		{"none", nil, false},
		{"the whole run", by("session_end", 9500), false},
		{"every kilometre", by("distance", 1000, 1000, 1004, 420), false},
		{"every mile, the last by the end", append(by("distance", 1609.34, 1609.34), by("session_end", 700)...), false},
		{"pressed", by("manual", 1200, 130, 1210), true},
		{"pressed on a track, each of the same length", by("manual", 1000, 1000, 1000), true},
		{"a workout", workout, true},
		{"nobody says what ended them", by("", 1000, 1000), true},
	} {
		if got := recording.Pressed(c.laps); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}
