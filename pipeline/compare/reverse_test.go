package compare

import (
	"soletrial/pipeline/units"
	"testing"

	"soletrial/pipeline/trial"
)

// TestFlipByHand: 25 % faster one way is 20 % slower the other; ratings only
// change their sign.
func TestFlipByHand(t *testing.T) {
	c := Comparison{
		Outcome: trial.Speed, Shoe: "b", Reference: "a", LogEstimate: 0.2231, Estimate: 25, Low: 0, High: 60,
		Adjustment:   5,
		TippingDrift: 3, WithoutLow: 20, WithoutHigh: 30, PredictionLow: -50, PredictionHigh: 300,
		Outlying: Outlying{"d", "1", 30}, PerRunner: []RunnerEstimate{{"r", OneSession, 25, -20, 60}},
	}
	f := c.Reverse()
	for name, x := range map[string][2]float64{
		"estimate": {f.Estimate, -20}, "low": {f.Low, -37.5}, "high": {f.High, 0},
		"adjustment: from 1/1.2": {f.Adjustment, -20 - 100*(1/1.2-1)}, "tipping": {f.TippingDrift, 3},
		"without low": {f.WithoutLow, 100 * (1/1.3 - 1)}, "without high": {f.WithoutHigh, 100 * (1/1.2 - 1)},
		"prediction low": {f.PredictionLow, -75}, "prediction high": {f.PredictionHigh, 100},
		"outlying": {f.Outlying.Estimate, 100 * (1/1.3 - 1)},
		"runner":   {f.PerRunner[0].Estimate, -20}, "runner low": {f.PerRunner[0].Low, -37.5},
		"runner high": {f.PerRunner[0].High, 25}, "log": {f.LogEstimate, -0.2231},
	} {
		near(t, name, x[0], x[1], 1e-12)
	}
	c.Outcome = trial.Comfort
	f = c.Reverse()
	for name, x := range map[string][2]float64{
		"estimate": {f.Estimate, -25}, "low": {f.Low, -60}, "high": {f.High, 0}, "adjustment": {f.Adjustment, -5},
		"without low": {f.WithoutLow, -30}, "runner high": {f.PerRunner[0].High, 20},
	} {
		near(t, name+" of a rating", x[0], x[1], 1e-12)
	}
	if f.Shoe != "a" || f.Reference != "b" || c.PerRunner[0].Estimate != 25 {
		t.Errorf("%s against %s; the original's runner is at %v", f.Shoe, f.Reference, c.PerRunner[0].Estimate)
	}
}

// TestUnits: percent for ratios, the rating's own unit otherwise.
func TestUnits(t *testing.T) {
	for o, want := range map[trial.Outcome]string{trial.Speed: "percent", trial.Heart: "percent", trial.RPE: "points",
		trial.Comfort: "mm"} {
		if got := (&Comparison{Outcome: o}).Unit(); got != want {
			t.Errorf("%s in %q, want %q", o.Info().ID, got, want)
		}
	}
}

// Of two blocks whose absence moves the estimate as far the first is named; the ends are those of
// all estimates without a block.
func TestLeavingBlocksOut(t *testing.T) {
	c := Comparison{Estimate: 1, WithoutLow: units.Missing, WithoutHigh: units.Missing}
	for _, left := range []struct {
		block    string
		estimate float64
	}{{"1", 1.5}, {"2", units.Missing}, {"3", 3}, {"4", -1}, {"5", 2}} {
		c.leaveOut(&Observation{Session: "d", Block: left.block}, left.estimate)
	}
	if c.Outlying != (Outlying{"d", "3", 3}) || c.WithoutLow != -1 || c.WithoutHigh != 3 {
		t.Errorf("%+v from %v to %v, want block 3 and -1 to 3", c.Outlying, c.WithoutLow, c.WithoutHigh)
	}
}
