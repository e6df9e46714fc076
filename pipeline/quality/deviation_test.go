package quality

import (
	"slices"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// asPlanned runs a session exactly as it was planned.
func asPlanned() (*trial.Dataset, *trial.Session) {
	ds := &trial.Dataset{
		Facts: trial.DatasetFacts{Method: trial.DefaultMethod(), Limits: trial.DefaultLimits()},
		Shoes: []trial.Shoe{{ID: "a"}, {ID: "b"}}, Sessions: []trial.Session{{ID: "s",
			Facts: trial.SessionFacts{Effort: "power", Target: "260"}}},
	}
	ds.Facts.Method.PowerExponent = 1
	s := &ds.Sessions[0]
	s.Plan = &trial.PlanFacts{Shoes: []string{"a", "b"}, Order: strings.Fields("a b b a b a a b"), Effort: "power",
		Target: "260", BlockS: 390, RestS: 180, Rules: ds.RulesOf(trial.Power)}
	at := 900.0
	for i, shoe := range s.Plan.Order {
		s.Blocks = append(s.Blocks, trial.Block{ID: string(rune('1' + i)), Shoe: shoe, Start: at, End: at + 390,
			Target: 260})
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
		{"two changed over", func(_ *trial.Dataset, s *trial.Session) {
			s.Blocks[1].Shoe, s.Blocks[3].Shoe = "a",
				"b"
		}, ": order planned: a b b a b a a b; order run: a a b b b a a b"},
		{"one left out by hand was run", func(_ *trial.Dataset, s *trial.Session) { s.Blocks[2].Excluded = true }, ""},
		{"a warm-up that stands among the blocks", func(_ *trial.Dataset, s *trial.Session) {
			s.Blocks = slices.Insert(s.Blocks, 0, trial.Block{ID: "0", Start: 0, End: 800})
		}, ""},
		{"the last not run", func(_ *trial.Dataset, s *trial.Session) { s.Blocks = s.Blocks[:7] },
			": order planned: a b b a b a a b; order run: a b b a b a a"},
		{"another target", func(_ *trial.Dataset, s *trial.Session) { s.Blocks[4].Target = 240 },
			"5: target 240 W, planned 260 W"},
		{"another pace", func(ds *trial.Dataset, s *trial.Session) {
			s.Facts.Effort, s.Plan.Effort, s.Plan.Target = "pace", "pace", "4:00"
			s.Plan.Rules = ds.RulesOf(trial.Pace)
			for i := range s.Blocks {
				s.Blocks[i].Target = 240
			}
			s.Blocks[4].Target = 250
		}, "5: target 4:10 per km, planned 4:00 per km"},
		{"no target", func(_ *trial.Dataset, s *trial.Session) { s.Blocks[4].Target = units.Missing }, ""},
		{"a tenth shorter is no deviation", func(_ *trial.Dataset, s *trial.Session) { s.Blocks[7].End -= 39 }, ""},
		{"more than a tenth shorter", func(_ *trial.Dataset, s *trial.Session) { s.Blocks[7].End -= 40 },
			"8: length 350 s, planned 390 s"},
		{"a minute more rest is no deviation", func(_ *trial.Dataset, s *trial.Session) {
			s.Blocks[7].Start, s.Blocks[7].End = 900+7*570+60, 900+7*570+450
		}, ""},
		{"more rest", func(_ *trial.Dataset, s *trial.Session) {
			s.Blocks[7].Start, s.Blocks[7].End = 900+7*570+61, 900+7*570+451
		}, "8: rest before it 241 s, planned 180 s"},
		{"another effort", func(_ *trial.Dataset, s *trial.Session) { s.Facts.Effort = "heart_rate" },
			": effort is heart_rate, planned power"},
		{"another trim", func(ds *trial.Dataset, _ *trial.Session) { ds.Facts.Method.Trim.HeadS = 90 },
			": method.trim.head_s is 90, planned 60"},
		{"another outcome and reference", func(ds *trial.Dataset, _ *trial.Session) {
			ds.Facts.Method.Primary, ds.Facts.Method.Reference = "cadence", "b"
		}, ": method.reference is b, planned a\n: method.primary is cadence, planned speed"},
		{"settings the plan does not have", func(ds *trial.Dataset, s *trial.Session) {
			s.Plan.Rules = trial.PlanRules{
				Trim:          trial.Trim{HeadS: units.Missing, TailS: units.Missing, HeartRateHeadS: units.Missing},
				PowerExponent: units.Missing,
				Confidence:    units.Missing,
				WorthwhilePct: units.Missing,
			}
		}, ""},
		{"the rest of the method", func(ds *trial.Dataset, _ *trial.Session) {
			ds.Facts.Method.Confidence, ds.Facts.Method.Drift, ds.Facts.Method.PowerExponent = 0.9, trial.DriftNone, 0.5
		}, ": method.drift is none, planned linear\n: method.power_exponent is 0.5, planned 1\n" +
			": method.confidence is 0.9, planned 0.95"},
	} {
		ds, s := asPlanned()
		c.change(ds, s)
		var got []string
		for _, d := range Deviations(ds, s) {
			block := ""
			if d.Place >= 0 {
				block = s.Blocks[d.Place].ID
			}
			got = append(got, block+": "+d.Message)
			if d.Order != strings.Contains(d.Message, "; order run: a ") {
				t.Errorf("%s: %q is about the order: %v", c.name, d.Message, d.Order)
			}
		}
		if strings.Join(got, "\n") != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}
