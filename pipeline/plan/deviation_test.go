package plan

import (
	"slices"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// asPlanned runs a session exactly as it was planned.
func asPlanned() (*trial.Dataset, *trial.Session) {
	ds, s := plannedWorld()
	at := 900.0
	for i, shoe := range s.Plan.Order {
		s.Blocks = append(s.Blocks, trial.Block{ID: string(rune('1' + i)), Shoe: shoe, Start: at, End: at + 390, Target: 260})
		at += 570
	}
	return ds, s
}

func TestDeviations(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*trial.Dataset, *trial.Session)
		want   string
	}{
		{"as planned", func(*trial.Dataset, *trial.Session) {}, ""},
		{"not run yet", func(_ *trial.Dataset, s *trial.Session) { s.Blocks = nil }, ""},
		{"no plan", func(_ *trial.Dataset, s *trial.Session) { s.Plan, s.Blocks = nil, s.Blocks[:3] }, ""},
		{"two changed over", func(_ *trial.Dataset, s *trial.Session) { s.Blocks[1].Shoe, s.Blocks[3].Shoe = "a", "b" }, ": planned a b b a b a a b, run a a b b b a a b"},
		{"one left out by hand was run", func(_ *trial.Dataset, s *trial.Session) { s.Blocks[2].Excluded = true }, ""},
		{"a warm-up that stands among the blocks", func(_ *trial.Dataset, s *trial.Session) {
			s.Blocks = slices.Insert(s.Blocks, 0, trial.Block{ID: "0", Start: 0, End: 800})
		}, ""},
		{"the last not run", func(_ *trial.Dataset, s *trial.Session) { s.Blocks = s.Blocks[:7] }, ": planned a b b a b a a b, run a b b a b a a"},
		{"another target", func(_ *trial.Dataset, s *trial.Session) { s.Blocks[4].Target = 240 }, "5: target 240, planned 260"},
		{"no target", func(_ *trial.Dataset, s *trial.Session) { s.Blocks[4].Target = units.Missing }, "5: target none, planned 260"},
		{"a tenth shorter is no deviation", func(_ *trial.Dataset, s *trial.Session) { s.Blocks[7].End -= 39 }, ""},
		{"more than a tenth shorter", func(_ *trial.Dataset, s *trial.Session) { s.Blocks[7].End -= 40 }, "8: 350 s long, planned 390 s"},
		{"a minute more rest is no deviation", func(_ *trial.Dataset, s *trial.Session) {
			s.Blocks[7].Start, s.Blocks[7].End = 900+7*570+60, 900+7*570+450
		}, ""},
		{"more rest", func(_ *trial.Dataset, s *trial.Session) {
			s.Blocks[7].Start, s.Blocks[7].End = 900+7*570+61, 900+7*570+451
		}, "8: rest of 241 s before it, planned 180 s"},
		{"another effort", func(_ *trial.Dataset, s *trial.Session) { s.Facts.Effort = "heart_rate" }, ": planned at held power, run at held heart rate"},
		{"another trim", func(ds *trial.Dataset, _ *trial.Session) { ds.Facts.Method.Trim.HeadS = 90 }, ": method.trim.head_s is 90 now, was 60 in the plan"},
		{"another outcome and reference", func(ds *trial.Dataset, _ *trial.Session) {
			ds.Facts.Method.Primary, ds.Facts.Method.Reference = "cadence", "b"
		}, ": method.reference is b now, was a in the plan\n: method.primary is cadence now, was speed in the plan"},
		{"settings the plan does not have", func(ds *trial.Dataset, s *trial.Session) {
			s.Plan.Rules = trial.PlanRules{Trim: trial.Trim{HeadS: units.Missing, TailS: units.Missing, HeartRateHeadS: units.Missing}, PowerExponent: units.Missing, Confidence: units.Missing, WorthwhilePct: units.Missing}
		}, ""},
		{"the rest of the method", func(ds *trial.Dataset, _ *trial.Session) {
			ds.Facts.Method.Confidence, ds.Facts.Method.Drift, ds.Facts.Method.PowerExponent = 0.9, trial.DriftNone, 0.5
		}, ": method.power_exponent is 0.5 now, was 1 in the plan\n: method.confidence is 0.9 now, was 0.95 in the plan\n: method.drift is none now, was linear in the plan"},
	} {
		ds, s := asPlanned()
		c.change(ds, s)
		var got []string
		for _, d := range Deviations(ds, s) {
			got = append(got, d.Block+": "+d.Message)
			if d.Order != strings.Contains(d.Message, ", run a ") {
				t.Errorf("%s: %q is about the order: %v", c.name, d.Message, d.Order)
			}
		}
		if strings.Join(got, "\n") != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// What a plan says can be made again from it alone, and a plan that somebody
// changed cannot.
func TestAgain(t *testing.T) {
	ds, s := asPlanned()
	facts, set, err := Make(ds, Wish{Session: "next", Shoes: []string{"a", "b"}, Blocks: 8, Effort: trial.Power, Target: "250", BlockS: 360, RestS: 180, WarmUpS: units.Missing, Seed: 21})
	if err != nil {
		t.Fatal(err)
	}
	if facts.Draw.Earlier[0] != "a b b a b a a b" || facts.Draw.Candidates != trial.AllOrders || facts.Draw.Seed != 21 || facts.Rules.Primary != "speed" {
		t.Errorf("the plan is %+v", facts)
	}
	orders, err := Again(facts)
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
		if _, err := Again(&copied); err == nil {
			t.Errorf("%s: made again without complaint", name)
		}
	}
	// The session itself is not its own past, other efforts and runners are not, a
	// plan that waits to be run is.
	s.Blocks = nil
	if got := Earlier(ds, "next", "r", trial.Power, []string{"a", "b"}); len(got) != 1 || len(got[0]) != 8 {
		t.Errorf("a plan that waits: %v", got)
	}
	for _, none := range [][][]string{
		Earlier(ds, s.ID, "r", trial.Power, []string{"a", "b"}), Earlier(ds, "next", "other", trial.Power, []string{"a", "b"}),
		Earlier(ds, "next", "r", trial.Pace, []string{"a", "b"}), Earlier(ds, "next", "r", trial.Power, []string{"a", "c"}),
	} {
		if none != nil {
			t.Errorf("counts as earlier: %v", none)
		}
	}
}

func TestFitting(t *testing.T) {
	for want, c := range map[int][4]float64{7: {75 * 60, 15 * 60, 6 * 60, 3 * 60}, 6: {6*9*60 - 180, 0, 360, 180}, 0: {600, 900, 360, 180}, 1: {360, 0, 360, 0}} {
		if got := Fitting(c[0], c[1], c[2], c[3]); got != want {
			t.Errorf("%v: %d blocks, want %d", c, got, want)
		}
	}
}
