package compare

import (
	"math"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// held builds a session ABBA in which B was run at another effort and came out
// with another value.
func held(effort trial.Effort, target, heldB float64, outcome trial.Outcome, a, b float64) *made {
	m := undrifting("AB").session("d1", "ABBA", func(int, string) float64 { return units.Missing })
	return m.each(func(o *Observation) {
		o.Effort, o.Target, o.MeanEffort, o.Outcomes[outcome] = effort, target, target, a
		if o.Shoe == "B" {
			o.MeanEffort, o.Outcomes[outcome] = heldB, b
		}
		o.Outcomes[outcome] *= 1 + 0.001*float64(o.Order%2) // so that there is a spread
	})
}

// TestEqualEffort works the adjustment out by hand: with k = 1 power 2 % over the
// target explains speed 2 % over, and so on.
func TestEqualEffort(t *testing.T) {
	for name, c := range map[string]struct {
		effort               trial.Effort
		target, heldB        float64
		outcome              trial.Outcome
		a, b                 float64
		k                    float64
		estimate, asMeasured float64 // percent
		adjusted             bool
		level                string
	}{
		"power 2 % over explains speed 2 % over": {trial.Power, 270, 275.4, trial.Speed, 4, 4.08, 1, 0, 2, true,
			"power 270"},
		"power 2 % over, speed the same": {trial.Power, 270, 275.4, trial.Speed, 4, 4, 1,
			100 * (1/1.02 - 1), 0, true, "power 270"},
		"power under is credited": {trial.Power, 270, 264.6, trial.Speed, 4, 4, 1,
			100 * (1/0.98 - 1), 0, true, "power 270"},
		"pace is speed with the other sign": {trial.Power, 270, 275.4, trial.PacePerKm, 250, 250 / 1.02, 1, 0,
			100 * (1/1.02 - 1), true, "power 270"},
		"half the exponent, half the adjustment": {trial.Power, 270, 270 * 1.02 * 1.02, trial.Speed, 4, 4.08, 0.5,
			0, 2, true, "power 270"},
		"exponent 0 switches it off": {trial.Power, 270, 275.4, trial.Speed, 4, 4.08, 0, 2, 2, false,
			"power 270"},
		"power 2 % over explains the beat": {trial.Power, 270, 275.4, trial.Heart, 150, 153, 1, 0, 2, true,
			"power 270"},
		"pace held: faster by 2 % explains the beat": {trial.Pace, 255, 250, trial.Heart, 150, 153, 1, 0, 2, true,
			"pace 4:15"},
		"pace held: power by speed too": {trial.Pace, 255, 250, trial.MeanPower, 270, 270, 1,
			100 * (1/1.02 - 1), 0, true, "pace 4:15"},
		"pace held: cadence is left alone": {trial.Pace, 255, 250, trial.Cadence, 180, 181.8, 1, 1, 1, false,
			"pace 4:15"},
		"heart rate held: 2 % over explains the speed": {trial.HeartRate, 150, 153, trial.Speed, 4, 4.08, 1, 0, 2, true,
			"heart_rate 150"},
	} {
		t.Run(name, func(t *testing.T) {
			m := held(c.effort, c.target, c.heldB, c.outcome, c.a, c.b)
			m.Facts.Method.PowerExponent = c.k
			e := &m.Facts.Method.Prior.Exponents
			e.PaceHeartRate.Mean, e.PowerHeartRate.Mean, e.HeartRateSpeed.Mean = c.k, c.k, c.k
			got := findIn(t, m.run(), c.outcome, c.level, "B", "A")
			zero(t, "estimate", got.Estimate-c.estimate)
			if units.Known(got.Adjustment) != c.adjusted {
				t.Fatalf("adjustment %v, want one: %v", got.Adjustment, c.adjusted)
			}
			if c.adjusted {
				zero(t, "adjustment", got.Adjustment-(c.estimate-c.asMeasured))
			}
		})
	}
}

// TestUnknownEffort: a block whose effort is not known is left out, as if it had
// never been run; only when no block's effort is known are all compared as they
// are. The notes say which.
func TestUnknownEffort(t *testing.T) {
	for name, spoil := range map[string]func(o *Observation){
		"not known": func(o *Observation) { o.MeanEffort = units.Missing },
		"zero":      func(o *Observation) { o.MeanEffort = 0 },
	} {
		m, never := held(trial.Power, 270, 275.4, trial.Speed, 4, 4.08),
			held(trial.Power, 270, 275.4, trial.Speed, 4, 4.08)
		spoil(&m.blocks[3])
		never.blocks = never.blocks[:3]
		got, want := find(t, m.run(), "B", "A"), find(t, never.run(), "B", "A")
		if got.Estimate != want.Estimate || got.Blocks != 3 || !units.Known(got.Adjustment) ||
			!strings.Contains(strings.Join(got.Notes, ";"), "1 block at this effort excluded") {
			t.Errorf("%s: %v of %d blocks, without the block %v; notes %q", name, got.Estimate, got.Blocks,
				want.Estimate, got.Notes)
		}
		none := held(trial.Power, 270, 275.4, trial.Speed, 4, 4.08).each(spoil)
		got = find(t, none.run(), "B", "A")
		zero(t, name+": estimate as measured", got.Estimate-2)
		if units.Known(got.Adjustment) || !strings.Contains(strings.Join(got.Notes, ";"),
			"not corrected to equal effort") {
			t.Errorf("%s throughout: adjustment %v, notes %q", name, got.Adjustment, got.Notes)
		}
	}
	m := held(trial.Power, 270, 275.4, trial.Speed, 4, 4.08)
	m.blocks[3].Outcomes[trial.Speed] = units.Missing
	m.blocks[3].MeanEffort = units.Missing
	if got := find(t, m.run(), "B", "A"); !units.Known(got.Adjustment) || got.Blocks != 3 {
		t.Errorf("a block without the outcome has no say: adjustment %v, %d blocks", got.Adjustment, got.Blocks)
	}
}

// TestResponse: ratio outcomes are logarithms and need a positive value; ratings
// stay as they are, zero included.
func TestResponse(t *testing.T) {
	o := Observation{}
	for i := range o.Outcomes {
		o.Outcomes[i] = units.Missing
	}
	o.Outcomes[trial.Speed], o.Outcomes[trial.Heart], o.Outcomes[trial.RPE] = math.E, 0, 0
	near(t, "speed", response(&o, trial.Speed), 1, 1e-15)
	near(t, "heart rate 0", response(&o, trial.Heart), units.Missing, 0)
	near(t, "absent", response(&o, trial.Cadence), units.Missing, 0)
	if got := response(&o, trial.RPE); got != 0 {
		t.Errorf("a rating of 0 became %v", got)
	}
}
