package compare

import (
	"math"
	"strings"
	"testing"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// agreeing is a trial whose sessions agree better than their blocks, so that the
// heterogeneity comes out at zero.
func agreeing(sessions int) *made {
	m := undrifting("AB")
	for i := range sessions {
		m.session(string(rune('p'+i)), "ABBA", func(place int, shoe string) float64 {
			return math.Exp(1 + 0.02*float64(shoe[0]-'A') + 0.002*float64(place/2*2-1))
		})
	}
	return m
}

// TestConservativeInterval: with one to three degrees of freedom between sessions the
// interval by those alone stands beside the plain one, and decides with it.
func TestConservativeInterval(t *testing.T) {
	for sessions, told := range map[int]bool{2: false, 3: true, 4: true, 5: true} {
		m := agreeing(sessions)
		r := m.run()
		c := find(t, r, "B", "A")
		if !c.excludesZero() || c.Conclusive() != told {
			t.Errorf("%d sessions: %v to %v, cautious %v to %v: told %v", sessions, c.Low, c.High, c.ConservativeLow,
				c.ConservativeHigh, c.Conclusive())
		}
		near(t, "the plain degrees of freedom stay", c.DF, float64(4*sessions-sessions-1), 1e-12)
		between := sessions - 1
		if units.Known(c.ConservativeLow) != (between <= 3) ||
			strings.Contains(strings.Join(c.Notes, ";"), "in simulated trials") != (between <= 3) {
			t.Fatalf("%d sessions: cautious %v to %v, notes %q", sessions, c.ConservativeLow, c.ConservativeHigh,
				c.Notes)
		}
		if between > 3 {
			continue
		}
		half := stats.StudentQuantile(0.975, float64(between)) * c.LogSE
		near(t, "cautious low", c.ConservativeLow, 100*math.Expm1(c.LogEstimate-half), 1e-10)
		near(t, "cautious high", c.ConservativeHigh, 100*math.Expm1(c.LogEstimate+half), 1e-10)
		if !strings.Contains(strings.Join(c.Reasons, ";"), "rests on "+degrees(between)) || c.Evidence == Solid {
			t.Errorf("%d sessions: %s %q", sessions, c.Evidence, c.Reasons)
		}
		if apart := len(r.Rankings[0].Places[0].Apart) == 1; apart != told || !(c.PAdjusted < 0.05) {
			t.Errorf("%d sessions: ranked apart %v, adjusted p %v", sessions, apart, c.PAdjusted)
		}
	}
}

// TestNoCautionWhereTheModelIsConservative: where the model itself counts on no more
// than the degrees of freedom between sessions nothing is added.
func TestNoCautionWhereTheModelIsConservative(t *testing.T) {
	c := findIn(t, machineTrial(func(_, _, w int) bool { return w <= 2 }).run(), trial.Comfort, "power 270", "B", "A")
	near(t, "degrees of freedom", c.DF, 2, 1e-9)
	if c.hasConservative() || !c.Conclusive() {
		t.Errorf("cautious %v to %v beside %v to %v", c.ConservativeLow, c.ConservativeHigh, c.Low, c.High)
	}
}

// TestNoEndlessInterval: a fraction of a degree of freedom can stretch an interval
// beyond all numbers; then none is given, and the notes say so.
func TestNoEndlessInterval(t *testing.T) {
	run := &analysis{dataset: &trial.Dataset{}, method: trial.DefaultMethod(),
		quantiles: &quantiles{known: map[float64]float64{}}}
	for _, o := range []trial.Outcome{trial.Speed, trial.Comfort} {
		c := (&group{outcome: o, index: &index{shoes: []string{"A", "B"}}}).blank(pair{1, 0})
		run.setEstimate(&c, stats.Estimate{Value: 0.01, SE: 0.01, DF: 0.02, Estimable: true})
		if units.Known(c.Low) || units.Known(c.High) || c.LogSE != 0.01 || c.DF != 0.02 || !units.Known(c.P) {
			t.Errorf("%s: %v to %v, SE %v, df %v, p %v", o.Info().ID, c.Low, c.High, c.LogSE, c.DF, c.P)
		}
	}
}
