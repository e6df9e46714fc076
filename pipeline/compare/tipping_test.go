package compare

import (
	"math"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"

	"pgregory.net/rapid"
)

// withDrift adds a drift of so many percent per block to every session.
func withDrift(m *made, percent float64) *made {
	return m.copy().each(func(o *Observation) {
		o.Outcomes[trial.Speed] *= math.Pow(1+percent/100, float64(o.Order))
	})
}

// TestTippingByHand: in AABB the shoes lie two places apart, so a difference of
// 2 % is a drift of 1 % per block.
func TestTippingByHand(t *testing.T) {
	// sheet of run orders, mean place of B minus that of A
	for order, apart := range map[string]float64{"AB": 1, "AABB": 2, "ABAB": 1, "BBAA": -2, "ABBAAB": 1.0 / 3} {
		m := undrifting("AB").session("d1", order,
			func(_ int, shoe string) float64 { return 4 * math.Pow(1.02, float64(shoe[0]-'A')) })
		c := find(t, m.run(), "B", "A")
		near(t, order, c.TippingDrift, 100*(math.Pow(1.02, 1/apart)-1), 1e-9)
	}
	for _, order := range []string{"ABBA", "ABBABAAB"} {
		m := undrifting("AB").session("d1", order,
			func(place int, shoe string) float64 { return 4 + 0.1*float64(shoe[0]) + 0.01*float64(place) })
		if c := find(t, m.run(), "B", "A"); units.Known(c.TippingDrift) {
			t.Errorf("%s: no straight drift can tip it, not %v", order, c.TippingDrift)
		}
	}
}

// TestTippingByDrift takes the tipping drift out of the data, and the estimate is
// gone; takes the smaller one out, and the interval touches zero.
func TestTippingByDrift(t *testing.T) {
	fixed := noisy(undrifting("AB"), 3, 0.004, "AABB")
	if takeOutTipping(t, fixed) != 1 {
		t.Error("the fixed trial has no tipping drift")
	}
	rapid.Check(t, func(t *rapid.T) { takeOutTipping(t, anyTrial(t)) })
}

// takeOutTipping takes the tipping drift of each comparison out of a trial, and returns of how
// many.
func takeOutTipping(t rapid.TB, m *made) (tipped int) {
	for _, c := range m.run().Comparisons {
		// With a random term the weights of the sessions follow the data, so that
		// the tipping point is exact only where places and shoes go together.
		exact := c.Model != Mixed || c.BetweenSD == 0 ||
			strings.Contains(strings.Join(c.Notes, ";"), "does not let a drift be told")
		if !units.Known(c.TippingDrift) || math.Abs(c.TippingDrift) > 50 || !exact {
			continue
		}
		after := withDrift(m, -c.TippingDrift).run()
		without := after.Find(c.Outcome, c.Level, c.Shoe, c.Reference)
		if without.Model == c.Model && (without.BetweenSD == 0 || without.Model != Mixed) {
			// 1/(1-x) is what a drift of -x % divides by
			left := c.LogEstimate + math.Log1p(-c.TippingDrift/100)*c.LogEstimate/math.Log1p(c.TippingDrift/100)
			if math.Abs(without.LogEstimate-left) > 1e-9 {
				t.Fatalf("%s against %s: %v is left of %v, want %v", c.Shoe, c.Reference, without.LogEstimate,
					c.LogEstimate, left)
			}
			tipped++
		}
	}
	return tipped
}

// TestTippingOfMixed: with a random term the tipping point is that of least
// squares; taking it out leaves little.
func TestTippingOfMixed(t *testing.T) {
	m := noisy(undrifting("AB"), 11, 0.004, "AABB", "ABAABB", "AABB", "ABAB")
	c := find(t, m.run(), "B", "A")
	if c.Model != Mixed || !(c.BetweenSD > 0) {
		t.Fatalf("%s, between %v", c.Model, c.BetweenSD)
	}
	gone := find(t, m.copy().each(func(o *Observation) {
		o.Outcomes[trial.Speed] /= math.Pow(1+c.TippingDrift/100, float64(o.Order))
	}).run(), "B", "A")
	if math.Abs(gone.LogEstimate) > 0.15*math.Abs(c.LogEstimate) {
		t.Errorf("%v is left of %v", gone.LogEstimate, c.LogEstimate)
	}
}
