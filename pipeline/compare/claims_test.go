package compare

import (
	"math"
	"slices"
	"strings"
	"testing"

	"soletrial/pipeline/quality"
	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"

	"pgregory.net/rapid"
)

// anyTrial draws an invented trial: two to four shoes, one to four sessions of
// two to six blocks, possibly unbalanced or not linked.
func anyTrial(t *rapid.T) *made {
	start := undrifting
	if rapid.Bool().Draw(t, "drift") {
		start = drifting
	}
	m := start("ABCD"[:rapid.IntRange(2, 4).Draw(t, "shoes")])
	letters := make([]rune, len(m.Shoes))
	for i, shoe := range m.Shoes {
		letters[i] = rune(shoe.ID[0])
	}
	orders := rapid.SliceOfN(rapid.StringOfN(rapid.SampledFrom(letters), 2, 6, -1), 1, 4).Draw(t, "orders")
	m = noisy(m, rapid.Uint64().Draw(t, "seed"), rapid.SampledFrom([]float64{0.0005, 0.01}).Draw(t, "noise"), orders...)
	off := rapid.SliceOfN(rapid.Float64Range(-0.01, 0.01), len(m.blocks), len(m.blocks)).Draw(t, "power off")
	for i := range m.blocks {
		m.blocks[i].MeanEffort *= 1 + off[i]
	}
	return m
}

// TestEvidenceIgnoresEffects: a constant effect of a shoe, however large, changes
// no grade and no reason.
func TestEvidenceIgnoresEffects(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyTrial(t)
		effect := math.Exp(rapid.Float64Range(-0.5, 0.5).Draw(t, "effect"))
		moved := m.copy().each(func(o *Observation) {
			if o.Shoe == "B" {
				o.Outcomes[trial.Speed] *= effect
			}
		})
		a, b := m.run(), moved.run()
		for i := range a.Comparisons {
			was, is := &a.Comparisons[i], &b.Comparisons[i]
			if was.Evidence != is.Evidence || was.Model != is.Model {
				t.Fatalf("%s against %s: %s became %s", was.Shoe, was.Reference, was.Evidence, is.Evidence)
			}
		}
	})
}

// TestGrades: each grade, and what keeps evidence from a better one.
func TestGrades(t *testing.T) {
	finding := func(rule trial.RuleSlug, severity trial.Severity) []trial.Finding {
		return []trial.Finding{{Session: "elsewhere", Rule: rule, Severity: severity},
			{Session: "d1", Rule: rule, Severity: severity}, {Session: "d1", Rule: rule, Severity: severity},
			{Session: "d2", Rule: rule, Severity: severity}, {Session: "elsewhere", Rule: rule, Severity: severity}}
	}
	balanced := "ABCCBA CBAABC BCAACB ABCCBA CBAABC"
	for name, c := range map[string]struct {
		orders   string
		noise    float64
		findings []trial.Finding
		grade    Grade
	}{
		"all there":                {balanced, 0.003, nil, Solid},
		"shoe and time correlated": {balanced, 0.003, finding(quality.OrderConfounded, trial.Warn), Fair},
		"sensor in doubt":          {balanced, 0.003, finding(quality.StepProduct, trial.Warn), Fair},
		"sensor remarked on":       {balanced, 0.003, finding(quality.StepProduct, trial.Note), Solid},
		"other findings":           {balanced, 0.003, finding("gap", trial.Warn), Solid},
		"wide":                     {"ABCCBA CBAABC BCAACB", 0.02, nil, Fair},
		"too wide to decide":       {"ABCCBA CBAABC BCAACB", 0.05, nil, Thin},
		"two sessions":             {"ABCCBA CBAABC", 0.0005, nil, Fair},
		"one session":              {"ABCCBAABCCBA", 0.001, nil, Thin},
		"few blocks":               {"ABC BCA CAB", 0.0005, nil, Fair},
		"no interval":              {"AB", 0.001, nil, NoEvidence},
	} {
		t.Run(name, func(t *testing.T) {
			got := find(t, noisy(undrifting("ABC"), 12, c.noise, strings.Fields(c.orders)...).run(c.findings...), "B",
				"A")
			if got.Evidence != c.grade {
				t.Fatalf("%s (%v to %v), want %s", got.Evidence, got.Low, got.High, c.grade)
			}
		})
	}
}

// TestFewestSessions: a shoe run on one day only does not borrow the days of the
// shoe it is compared with.
func TestFewestSessions(t *testing.T) {
	c := find(t, noisy(undrifting("ABC"), 3, 0.001, "ABBACCCC", "ABBA", "BAAB", "ABBA").run(), "C", "A")
	if c.Sessions != 4 || c.Evidence == Solid || c.basis.minSessions != 1 {
		t.Errorf("%d sessions, %d of the shoe run in fewer, %s", c.Sessions, c.basis.minSessions, c.Evidence)
	}
}

// TestRatingsHaveTheirOwnScale: ten points of comfort in a hundred are not ten
// percent.
func TestRatingsHaveTheirOwnScale(t *testing.T) {
	m := machineTrial(all).each(func(o *Observation) { o.Outcomes[trial.RPE] = o.Outcomes[trial.Comfort] / 10 })
	r := m.run()
	comfort, rpe := findIn(t, r, trial.Comfort, "power 270", "B", "A"), findIn(t, r, trial.RPE, "power 270", "B", "A")
	if comfort.Evidence != Solid || rpe.Evidence != Solid || comfort.Unit() != "mm" || rpe.Unit() != "points" {
		t.Errorf("+-%v %s %s, +-%v %s %s", comfort.High-comfort.Estimate, comfort.Unit(), comfort.Evidence,
			rpe.High-rpe.Estimate, rpe.Unit(), rpe.Evidence)
	}
}

// TestHolmFamily: the pairs of the primary outcome of one level are one family.
func TestHolmFamily(t *testing.T) {
	m := noisy(undrifting("ABCD"), 6, 0.008, "ABCDDCBA", "BADCCDAB", "ABCDDCBA").each(func(o *Observation) {
		o.Outcomes[trial.Cadence] = 100 * o.Outcomes[trial.Speed]
		if o.Session == "d3" {
			o.Target = 300
		}
	})
	r := m.run()
	for _, level := range []string{"power 270", "power 300"} {
		var p, adjusted []float64
		for _, c := range r.Comparisons {
			if c.Outcome == trial.Speed && c.Level == level {
				p, adjusted = append(p, c.P), append(adjusted, c.PAdjusted)
			}
		}
		if want := stats.Holm(p); len(p) != 6 || !slices.Equal(adjusted, want) ||
			slices.Max(adjusted) == slices.Max(p) {
			t.Errorf("%s: %v of %v, want %v", level, adjusted, p, want)
		}
	}
	for _, c := range r.Comparisons {
		if c.Outcome != trial.Speed && units.Known(c.PAdjusted) {
			t.Errorf("%s has an adjusted p value", c.Outcome.Info().ID)
		}
	}
}

// TestRanking: best first, the reference among the others at zero, apart exactly
// where the adjusted pairs say so, both ways.
func TestRanking(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyTrial(t)
		m.Facts.Method.Reference = m.Shoes[rapid.IntRange(0, len(m.Shoes)-1).Draw(t, "reference")].ID
		r := m.run()
		for _, ranking := range r.Rankings {
			references := 0
			for i, p := range ranking.Places {
				if p.Reference {
					references++
					if p.Estimate != 0 || p.Low != 0 || p.High != 0 {
						t.Fatalf("the reference stands at %v", p)
					}
				}
				if i > 0 && p.Estimate > ranking.Places[i-1].Estimate {
					t.Fatalf("not best first: %+v", ranking.Places)
				}
			}
			if references != 1 {
				t.Fatalf("%d reference shoes in %+v", references, ranking.Places)
			}
		}
	})
}
