package compare

import (
	"math"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// TestModelChoice: what the design can carry decides the model, and the notes say
// what the interval holds.
func TestModelChoice(t *testing.T) {
	for name, c := range map[string]struct {
		orders   string
		model    Model
		df       float64 // NaN: no interval; -1: not checked
		holds    bool
		note     string
		drifting bool
	}{
		"one session with repeats":     {"ABBA", OneSession, 2, false, "day to day", false},
		"its drift costs one":          {"ABBA", OneSession, 1, false, "day to day", true},
		"one session, one block each":  {"AB", DifferenceOnly, math.NaN(), false, "repeat a shoe", false},
		"drift takes the last of them": {"ABA", DifferenceOnly, math.NaN(), false, "repeat a shoe", true},
		"several, one block each": {"AB BA AB BA", LeastSquares, 3, true, "include the day-to-day variation",
			false},
		"the same with a drift": {"AB BA AB BA", LeastSquares, 2, true, "include the day-to-day variation",
			true},
		"two sessions, one block, drift": {"AB BA", DifferenceOnly, math.NaN(), false, "run another session", true},
		"replicates": {"ABBA BAAB ABBA BAAB", Mixed, -1, true,
			"random term for each shoe in each session", true},
		"links like a tree": {"ABBA BCCB", LeastSquares, 4, false, "no two shoes were run together in two sessions",
			false},
		"three shoes round a ring":  {"ABBA BCCB CAAC", Mixed, -1, true, "random term", false},
		"one repeat is enough":      {"AAB AB", Mixed, -1, true, "random term", false},
		"unless the drift takes it": {"AAB AB", LeastSquares, 1, true, "no more often than the drift needs", true},
	} {
		t.Run(name, func(t *testing.T) {
			start := undrifting
			if c.drifting {
				start = drifting
			}
			got := find(t, noisy(start("ABC"), 4, 0.01, strings.Fields(c.orders)...).run(), "B", "A")
			if got.Model != c.model || got.acrossSessions != c.holds {
				t.Errorf("%s, holds days %v; want %s, %v (notes %q)", got.Model, got.acrossSessions, c.model, c.holds,
					got.Notes)
			}
			if c.df != -1 {
				near(t, "degrees of freedom", got.DF, c.df, 1e-12)
			}
			if units.Known(got.Low) == math.IsNaN(c.df) || !units.Known(got.Estimate) {
				t.Errorf("%v (%v to %v)", got.Estimate, got.Low, got.High)
			}
			if units.Known(got.BetweenSD) != (c.model == Mixed) ||
				units.Known(got.ResidualSD) == (c.model == DifferenceOnly) {
				t.Errorf("spreads %v, %v of %s", got.BetweenSD, got.ResidualSD, got.Model)
			}
			if !strings.Contains(strings.Join(got.Notes, "; "), c.note) {
				t.Errorf("notes %q lack %q", got.Notes, c.note)
			}
		})
	}
}

// TestBoundary: sessions that agree better than blocks do put the heterogeneity
// at zero; the numbers are those of least squares (worked by hand).
func TestBoundary(t *testing.T) {
	m := undrifting("AB")
	for _, id := range []string{"d1", "d2", "d3"} {
		m.session(id, "ABBA", func(place int, shoe string) float64 {
			// each shoe once above and once below its mean
			return math.Exp(1 + 0.02*float64(shoe[0]-'A') + 0.01*float64(place/2*2-1))
		})
	}
	c := find(t, m.run(), "B", "A")
	if c.Model != Mixed || c.BetweenSD != 0 || !strings.Contains(strings.Join(c.Notes, ";"), "estimated as zero") {
		t.Errorf("%s, between %v, notes %q", c.Model, c.BetweenSD, c.Notes)
	}
	near(t, "estimate", c.LogEstimate, 0.02, 1e-12)
	near(t, "degrees of freedom: 12 blocks, 3 sessions, 1 difference", c.DF, 8, 1e-12)
	near(t, "residual: 12 squares of 0.01 over 8", c.ResidualSD, 0.01*math.Sqrt(1.5), 1e-10)
	near(t, "standard error", c.LogSE, 0.01*math.Sqrt(1.5)*math.Sqrt(2.0/6), 1e-10)
}

// TestDisconnected: two groups without a common session.
func TestDisconnected(t *testing.T) {
	m := noisy(undrifting("ABCD"), 8, 0.01, "ABBA", "CDDC", "ABBA", "CDDC")
	r := m.run()
	if len(r.Comparisons) != 6 {
		t.Fatalf("%d comparisons of four shoes", len(r.Comparisons))
	}
	for _, c := range r.Comparisons {
		inside := c.Shoe+c.Reference == "BA" || c.Shoe+c.Reference == "DC"
		if (c.Model == NotComparable) == inside || units.Known(c.Estimate) != inside || c.Runners != 1 {
			t.Errorf("%s against %s: %s, %v", c.Shoe, c.Reference, c.Model, c.Estimate)
		}
	}
	if c := find(t, r, "C", "A"); c.Blocks != 8 || c.Sessions != 4 || c.Evidence != NoEvidence {
		t.Errorf("C against A: %d blocks, %d sessions, %s", c.Blocks, c.Sessions, c.Evidence)
	}
	if len(r.Rankings) != 1 || len(r.Rankings[0].Places) != 2 {
		t.Fatalf("rankings %+v", r.Rankings)
	}
}

// TestSingleShoe: nothing to compare, nothing to say.
func TestSingleShoe(t *testing.T) {
	r := noisy(undrifting("AB"), 2, 0.01, "AAAA").run()
	if len(r.Comparisons)+len(r.Sessions)+len(r.Rankings) != 0 {
		t.Errorf("%+v", r)
	}
	if r := Analyse(&trial.Dataset{}, nil, nil, 1); len(r.Comparisons) != 0 {
		t.Errorf("%+v", r)
	}
}

// TestDriftTerm: taken out where it can be told from the shoes, dropped with a
// reason where not.
func TestDriftTerm(t *testing.T) {
	perBlock := func(place int, shoe string) float64 {
		return math.Exp(1.4 + 0.01*float64(shoe[0]-'A') - 0.002*float64(place) + 0.0001*float64(place*place%3))
	}
	c := find(t, drifting("AB").session("d1", "AABABB", perBlock).session("d2", "ABABAB", perBlock).run(), "B", "A")
	near(t, "drift per hour: -0.2 % for each of 6.67 blocks", c.DriftPerHour, -1.32, 0.02)
	near(t, "estimate", c.LogEstimate, 0.01, 0.02)
	near(t, "tipping drift once it is taken out", c.TippingDrift, units.Missing, 0)

	aliased := find(t,
		drifting("AB").session("d1", "AB", perBlock).session("d2", "AB", perBlock).session("d3", "AB", perBlock).run(),
		"B", "A")
	if units.Known(aliased.DriftPerHour) || !units.Known(aliased.TippingDrift) ||
		!strings.Contains(strings.Join(aliased.Notes, ";"), "a drift looks like a shoe effect") {
		t.Errorf("drift %v, tipping %v, notes %q", aliased.DriftPerHour, aliased.TippingDrift, aliased.Notes)
	}
	near(t, "its estimate holds the drift", aliased.LogEstimate, 0.01-0.002+0.0001, 1e-9)

	m := drifting("AB").session("d1", "ABAB", perBlock)
	m.blocks[2].Midpoint = units.Missing
	if c := find(t, m.run(), "B", "A"); units.Known(c.DriftPerHour) || !units.Known(c.TippingDrift) ||
		!strings.Contains(strings.Join(c.Notes, ";"), "some blocks have no times") {
		t.Errorf("drift %v, tipping %v, notes %q", c.DriftPerHour, c.TippingDrift, c.Notes)
	}
	m = undrifting("AB").session("d1", "ABAB", perBlock)
	if c := find(t, m.run(), "B", "A"); units.Known(c.DriftPerHour) ||
		strings.Contains(strings.Join(c.Notes, ";"), "drift") {
		t.Errorf("no drift was asked for: %v, %q", c.DriftPerHour, c.Notes)
	}
}

// TestNoSpread: blocks that agree to the last digit give an interval without
// width; no direction is claimed from it.
func TestNoSpread(t *testing.T) {
	m := undrifting("AB").session("d1", "ABBA", func(_ int, shoe string) float64 { return 4 + float64(shoe[0]-'A') })
	c := find(t, m.run(), "B", "A")
	near(t, "estimate", c.Estimate, 25, 1e-12)
	if c.Conclusive() || c.Low != c.High || c.Evidence == Solid {
		t.Errorf("%v to %v, %s", c.Low, c.High, c.Evidence)
	}
	if units.Known(c.P) || units.Known(c.PAdjusted) || c.LogSE != 0 {
		t.Errorf("p %v and %v from a standard error of %v", c.P, c.PAdjusted, c.LogSE)
	}
}

// TestLevels: targets are compared level by level, efforts too; the dataset's
// order of ids does not matter.
func TestLevels(t *testing.T) {
	m := noisy(undrifting("AB"), 6, 0.01, "ABBA", "BAABBA", "ABBAAB").each(func(o *Observation) {
		switch o.Session {
		case "d2":
			o.Target, o.MeanEffort = 300, 300
		case "d3":
			o.Effort, o.Target, o.MeanEffort = trial.Pace, 255, 255
		}
	})
	r := m.run()
	for level, session := range map[string]string{"power 270": "d1", "power 300": "d2", "pace 4:15": "d3"} {
		alone := m.copy()
		alone.blocks = nil
		for _, o := range m.blocks {
			if o.Session == session {
				alone.blocks = append(alone.blocks, o)
			}
		}
		got, want := findIn(t, r, trial.Speed, level, "B", "A"), findIn(t, alone.run(), trial.Speed, level, "B", "A")
		if got.Estimate != want.Estimate || got.Low != want.Low || got.Sessions != 1 {
			t.Errorf("%s: %v from %v, alone %v from %v", level, got.Estimate, got.Low, want.Estimate, want.Low)
		}
	}
	if len(r.Rankings) != 2 || r.Rankings[0].Level != "power 300" || r.Rankings[1].Level != "power 270" {
		t.Errorf("rankings: most blocks first, and none for heart rate that nobody measured: %+v", r.Rankings)
	}
}

// TestLevelWithoutTarget: blocks without a target form a level of their own, and
// are adjusted by what was held: the target would cancel.
func TestLevelWithoutTarget(t *testing.T) {
	m := noisy(undrifting("AB"), 6, 0.01, "ABBA").each(func(o *Observation) { o.Target = units.Missing })
	c := findIn(t, m.run(), trial.Speed, "power", "B", "A")
	if c.Model != OneSession || !units.Known(c.Adjustment) {
		t.Errorf("%s, adjusted by %v", c.Model, c.Adjustment)
	}
	if got := AtLevel(c.Level); got != "at the same power" {
		t.Errorf("%q", got)
	}
}

// TestOrientation: the dataset's reference is the reference where it is in the
// pair, otherwise the id that sorts first.
func TestOrientation(t *testing.T) {
	m := noisy(undrifting("ABC"), 6, 0.01, "ABCCBA")
	for reference, want := range map[string]string{"A": "BA CA CB", "B": "AB CA CB", "C": "AC BA BC", "": "BA CA CB",
		"Z": "BA CA CB"} {
		m.Facts.Method.Reference = reference
		var got []string
		for _, c := range m.run().Comparisons {
			got = append(got, c.Shoe+c.Reference)
		}
		if strings.Join(got, " ") != want {
			t.Errorf("reference %q: %v, want %s", reference, got, want)
		}
	}
}
