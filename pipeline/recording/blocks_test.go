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
	lap := func(start, end, distance float64) recording.Lap {
		return recording.Lap{StartS: start, EndS: end, DistanceM: distance}
	}
	laps := []recording.Lap{lap(0, 600, 2400), lap(600, 690, 360), lap(690, 750, 60), lap(750, 840, units.Missing), lap(840, 850, 40)}
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
