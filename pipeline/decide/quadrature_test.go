package decide

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// The grid is fine enough where half its steps and a deeper tail change nothing: 1e-5 in
// probabilities, over designs in which the spreads are known well, badly, or only together.
func TestGridIsFineEnough(t *testing.T) {
	one := []string{"AB", "BA"}
	for _, c := range []struct {
		name  string
		trial simulatedTrial
	}{
		{"every shoe once a session", simulatedTrial{orders: many(4, one...), block: 0.009, day: 0.004}},
		{"one session for each of four runners", simulatedTrial{orders: many(2, one...), block: 0.009, day: 0.01,
			runners: 4}},
		{"two runners, one session", simulatedTrial{orders: []string{"ABBA", "BAAB"}, block: 0.009, runners: 2}},
		{"three runners who differ", simulatedTrial{orders: many(3, "ABBA", "BAAB"), block: 0.004, day: 0.02,
			runners: 3}},
		{"days that differ", simulatedTrial{orders: many(15, "ABBA", "BAAB"), block: 0.003, day: 0.02}},
		{"days that differ, many", simulatedTrial{orders: many(150, "ABBA", "BAAB"), block: 0.009, day: 0.01}},
		{"days alike, many", simulatedTrial{orders: many(150, "ABBA", "BAAB"), block: 0.009}},
		{"many sessions of three runners", simulatedTrial{orders: many(24, "ABBA", "BAAB"), block: 0.009, day: 0.005,
			runners: 3}},
		{"many sessions of runners who differ", simulatedTrial{orders: many(24, "ABBA", "BAAB"), block: 0.006,
			day: 0.015, runners: 4}},
		{"many runners, one session each", simulatedTrial{orders: many(24, "ABBA", "BAAB"), block: 0.006, day: 0.01,
			runners: 48}},
		{"many shoes in few sessions", simulatedTrial{orders: []string{"ABCDEFGHIJKLM", "MLKJIHGFEDCBA",
			"ACEGIKMBDFHJL"}, block: 0.009, day: 0.005}},
		{"many shoes of two runners", simulatedTrial{orders: []string{"ABCDEFGHIJKLM", "MLKJIHGFEDCBA",
			"ACEGIKMBDFHJL", "LJHFDBMKIGECA"}, block: 0.006, day: 0.005, runners: 2}},
		{"blocks without spread", simulatedTrial{orders: many(2, "ABBA", "BAAB"), block: 1e-7, day: 0.01}},
		{"wild blocks", simulatedTrial{orders: many(1, "ABBA", "BAAB"), block: 0.3, day: 0.1}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if testing.Short() && c.trial.runners > 1 {
				t.Skip("a second or two")
			}
			s := speedAtPower()
			blocks := c.trial.blocks(11)
			p := fit(t, blocks, s, Exact)
			coarser := grids[Exact]
			fine := *p
			fine.nodes, _ = integrate(newGiven(newDesign(blocks, s), s.Prior),
				grid{coarser.sigma / 2, coarser.tau / 2, coarser.omega / 2, coarser.depth + 6, coarser.scaledFrom},
				true, nil)
			got, want := p.Pair(0, 1, Sensor{}), fine.Pair(0, 1, Sensor{})
			near := func(what string, got, want Difference) {
				within(t, what+": chance", got.Above, want.Above, 1e-5)
				within(t, what+": within", got.Within, want.Within, 1e-5)
				within(t, what+": low", got.Low, want.Low, 1e-4*want.SD)
				within(t, what+": high", got.High, want.High, 1e-4*want.SD)
				within(t, what+": SD", got.SD, want.SD, 2e-4*want.SD)
			}
			near("long run", got.D, want.D)
			near("one day", oneDay(p, 0, 1, Sensor{}), oneDay(&fine, 0, 1, Sensor{}))
			if p.Terms.Runner {
				near("new runner", p.newRunner(0, 1, Sensor{}), fine.newRunner(0, 1, Sensor{}))
				near("first runner", p.OneDayOf(0, 1, 0, Sensor{}), fine.OneDayOf(0, 1, 0, Sensor{}))
			}
			for what, m := range map[string][2]Moments{"sigma": {p.Spreads.Sigma, fine.spreads(fine.columns).Sigma},
				"tau": {p.Spreads.Tau, fine.spreads(fine.columns).Tau}} {
				within(t, what, m[0].Mean, m[1].Mean, 2e-3*m[1].SD)
			}
		})
	}
}

// Near the posterior of nearly the same blocks the coarse grid is as good as it is by itself, 3e-3
// in probabilities: where a window moves, where a quarter of the blocks goes, and where only one
// session of four is left.
func TestNearIsGoodEnough(t *testing.T) {
	for name, trial := range map[string]simulatedTrial{
		"usual": {orders: many(2, "ABBA", "BAAB"), effects: map[rune]float64{'A': 0.008}, block: 0.009, day: 0.005},
		"days alike": {orders: many(2, "ABBA", "BAAB"), effects: map[rune]float64{'A': 0.004},
			block: 0.005},
		"days that differ": {orders: many(2, "ABBA", "BAAB"), effects: map[rune]float64{'A': 0.01}, block: 0.004,
			day: 0.02},
		"many": {orders: many(15, "ABBA", "BAAB"), effects: map[rune]float64{'A': 0.004}, block: 0.009, day: 0.005},
	} {
		s := speedAtPower()
		blocks := trial.blocks(3)
		published := fit(t, blocks, s, Exact)
		moved, r := slices.Clone(blocks), rand.New(rand.NewPCG(4, 4))
		for i := range moved {
			moved[i].Y += 0.003 * r.NormFloat64()
		}
		for what, changed := range map[string][]Block{"moved": moved, "fewer blocks": blocks[:len(blocks)*3/4],
			"one session": blocks[:4]} {
			near, err := FitNear(changed, s, Moving, published)
			if err != nil {
				t.Fatal(err)
			}
			got, want := near.Pair(0, 1, Sensor{}).D, fit(t, changed, s, Exact).Pair(0, 1, Sensor{}).D
			within(t, name+", "+what+": chance", got.Above, want.Above, 3e-3)
			within(t, name+", "+what+": low", got.Low, want.Low, 0.03*want.SD)
			within(t, name+", "+what+": high", got.High, want.High, 0.03*want.SD)
		}
	}
}
