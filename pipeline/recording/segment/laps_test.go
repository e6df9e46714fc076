package segment_test

import (
	"math"
	"testing"

	"soletrial/pipeline/recording/segment"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Two laps of 120 and 330 s and one of 60 s; the last row ends it.
func lapTable() *trial.Samples {
	none := units.Missing
	s := &trial.Samples{Elapsed: []float64{0, 120, 450, 510}}
	s.Values[trial.PowerW] = []float64{0, 268, 200, none}
	s.Values[trial.ContactMs] = []float64{none, 225, none, none}
	return s
}

func TestLapSamplesAreTheMeansEverySecond(t *testing.T) {
	s := segment.LapSamples(lapTable())
	if s.Len() != 510 || s.Values[trial.PowerW][119] != 0 || s.Values[trial.PowerW][120] != 268 ||
		s.Values[trial.PowerW][509] != 200 || s.Has(trial.SpeedMps) || s.Has(trial.ContactMs) {
		t.Errorf("%d samples, power %v", s.Len(), s.Values[trial.PowerW])
	}
}

// A block that is a lap has its means; one over two laps has them weighted by time:
// (100 x 268 + 50 x 200) / 150 W.
func TestBlocksAreMeasuredByLaps(t *testing.T) {
	blocks := make([]trial.Block, 3)
	for i, span := range [][2]float64{{120, 450}, {350, 500}, {600, 900}} {
		blocks[i].Start, blocks[i].End = span[0], span[1]
		for m := range blocks[i].Measured {
			blocks[i].Measured[m] = units.Missing
		}
	}
	segment.MeasureByLaps(blocks, lapTable())
	for i, want := range []float64{268, 245.3333, units.Missing} {
		got := blocks[i].Measured[trial.MeasurePower]
		if units.Known(got) != units.Known(want) || units.Known(want) && math.Abs(got-want) > 1e-9 {
			t.Errorf("block %d: %v W, want %v", i+1, got, want)
		}
	}
	if b := blocks[1].Measured; b[trial.MeasureContact] != 225 || units.Known(b[trial.MeasureSpeed]) {
		t.Errorf("contact and speed of block 2: %v", b)
	}
}
