package plan

import (
	"slices"
	"testing"

	"soletrial/pipeline/randomise"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// What a plan says can be made again from it alone, and a plan that somebody
// changed cannot.
func TestAgain(t *testing.T) {
	ds, s := runWorld()
	facts, set, err := New(ds, Request{Session: "next", Shoes: []string{"a", "b"}, Blocks: 8, Effort: trial.Power,
		Target: "250", BlockS: 360, RestS: 180, WarmUpS: units.Missing, Seed: 21})
	if err != nil {
		t.Fatal(err)
	}
	if facts.Draw.Earlier[0] != "a b b a b a a b" || facts.Draw.Candidates != trial.AllBalancedOrders ||
		facts.Draw.Seed != 21 || facts.Rules.Primary != "speed" {
		t.Errorf("the plan is %+v", facts)
	}
	orders, err := randomise.Orders(facts)
	if err != nil || len(orders) != len(set.Orders) || !slices.Equal(orders[int(facts.Draw.Place)-1], facts.Order) {
		t.Errorf("%v made again, of %v: %v", len(orders), len(set.Orders), err)
	}
	for name, change := range map[string]func(*trial.PlanFacts){
		"another order": func(f *trial.PlanFacts) {
			f.Order = slices.Clone(f.Order)
			i := slices.Index(f.Order, "b")
			j := slices.Index(f.Order, "a")
			f.Order[i], f.Order[j] = "a", "b"
		},
		"another seed":             func(f *trial.PlanFacts) { f.Draw.Place++ },
		"fewer orders":             func(f *trial.PlanFacts) { f.Draw.Orders-- },
		"a shoe that is not there": func(f *trial.PlanFacts) { f.Order = append(slices.Clone(f.Order), "c") },
		"a shoe without a block":   func(f *trial.PlanFacts) { f.Shoes = []string{"a", "b", "c"} },
		"far too large":            func(f *trial.PlanFacts) { f.Order = slices.Repeat([]string{"a", "b"}, 30) },
	} {
		copied := *facts
		change(&copied)
		if _, err := randomise.Orders(&copied); err == nil {
			t.Errorf("%s: made again without complaint", name)
		}
	}
	// The session itself is not its own past, other efforts and runners are not, a
	// plan that waits to be run is.
	s.Blocks = nil
	if got := previousOrders(ds, "next", "r", trial.Power, []string{"a", "b"}); len(got) != 1 || len(got[0]) != 8 {
		t.Errorf("a plan that waits: %v", got)
	}
	for _, none := range [][][]string{
		previousOrders(ds, s.ID, "r", trial.Power, []string{"a", "b"}), previousOrders(ds, "next", "other", trial.Power,
			[]string{"a", "b"}),
		previousOrders(ds, "next", "r", trial.Pace, []string{"a", "b"}), previousOrders(ds, "next", "r", trial.Power,
			[]string{"a", "c"}),
	} {
		if none != nil {
			t.Errorf("counts as earlier: %v", none)
		}
	}
}

// runWorld is a session that was run as it was planned.
func runWorld() (*trial.Dataset, *trial.Session) {
	ds, s := plannedWorld()
	for i, shoe := range s.Plan.Order {
		s.Blocks = append(s.Blocks, trial.Block{ID: string(rune('1' + i)), Shoe: shoe})
	}
	return ds, s
}

func TestFitting(t *testing.T) {
	for want, c := range map[int][4]float64{7: {75 * 60, 15 * 60, 6 * 60, 3 * 60}, 6: {6*9*60 - 180, 0, 360, 180},
		0: {600, 900, 360, 180}, 1: {360, 0, 360, 0}} {
		if got := BlocksThatFit(c[0], c[1], c[2], c[3]); got != want {
			t.Errorf("%v: %d blocks, want %d", c, got, want)
		}
	}
}
