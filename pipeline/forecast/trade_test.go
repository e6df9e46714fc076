package forecast

import (
	"math"
	"testing"

	"soletrial/pipeline/trial"
)

// Common practice, no source: 100 g more on each shoe cost about 1 % of energy, so 481 g
// against 242 g, 239 g more, mean about 2.4 %. It is what a dataset starts with.
func TestWeightAsPractised(t *testing.T) {
	k := trial.DefaultMethod().WeightPctPer100g
	if got := 100 * costOf(481-242, k); math.Abs(got-2.4) > 0.02 {
		t.Errorf("239 g: %v %% of energy, want about 2.4", got)
	}
	w := SplitWeight(Effect{TestSpeed: 4}, 481, 242, k)
	if w.MassDifferenceG != 239 || w.Expected.Min < -2.6 || w.Expected.Max > -1.6 {
		t.Errorf("%+v", w)
	}
}

// Common practice, no source: 4:31 against 4:42 per km is about 4 % more speed, and
// over 10 km in 47:00 that is worth nearly two minutes where every curve agrees.
func TestPaceGainOverARace(t *testing.T) {
	gain := 100 * (282.0/271 - 1)
	if math.Abs(gain-4) > 0.1 {
		t.Errorf("%v %% more speed", gain)
	}
	row := Rows(Effect{Estimate: gain, TestSpeed: 10000.0 / 2820}, Race{10000, 2820})[0]
	if math.Abs(row.ChangeS-(2710-2820)) > 1e-6 {
		t.Errorf("%v s, want -110", row.ChangeS)
	}
}
