package stats

import (
	"strings"
	"testing"
)

// All 14 folders M*: four pool contrasts fitted within each session, ten pool published
// effects.
func TestOpenCasesPooling(t *testing.T) {
	ran := 0
	eachOpenCase(t, "M", 14, func(c openCase) {
		ran++
		if c.results.has("per_session") {
			y, v := c.withinSessions()
			c.checkPool(y, v, c.results.at("pooled_exact"))
			return
		}
		c.checkPool(c.data.num("yi"), c.data.num("vi"), c.results.at("exact"))
	})
	if ran != 14 && ran != 0 {
		t.Errorf("compared %d, want 14", ran)
	}
}

// sessionModels says how each M case fits a session: treatment, session, covariate,
// response, and the two levels compared.
var sessionModels = map[string]struct{ treatment, session, covariate, response, a, b string }{
	"M01_machines_within_pool_BA": {"Machine", "Worker", "", "score", "A", "B"},
	"M02_machines_within_pool_CA": {"Machine", "Worker", "", "score", "A", "C"},
	"M03_rabbit_within_pool":      {"Treatment", "Animal", "ldose", "BPchange", "Control", "MDL"},
	"M04_morley_within_pool":      {"Half", "Expt", "drift", "Speed", "odd", "even"},
}

// withinSessions fits least squares in every session and returns the contrasts and their
// variances.
func (c openCase) withinSessions() (y, v []float64) {
	s, ok := sessionModels[strings.TrimSuffix(c.results.path, "/results")]
	if !ok {
		c.Fatalf("no model for %s", c.results.path)
	}
	per := c.results.at("per_session")
	sessions := c.data.text(s.session)
	for _, name := range per.keys() {
		d := c.data.filter(func(i int) bool { return sessions[i] == name })
		levels := []string{s.a}
		for _, l := range []string{"A", "B", "C", "Control", "MDL", "odd", "even"} {
			if l != s.a && contains(d.text(s.treatment), l) {
				levels = append(levels, l)
			}
		}
		codes, _ := d.codes(s.treatment, levels)
		x := intercept(d.rows).factor("", codes, levels)
		if s.covariate != "" {
			x.with(s.covariate, d.num(s.covariate))
		}
		e := fitted(c, x, d.num(s.response)).Contrast(x.contrast(s.b, s.a))
		c.checkEstimate("session "+name, e, per.at(name))
		y, v = append(y, e.Value), append(v, e.SE*e.SE)
	}
	return y, v
}

func contains(list []string, s string) bool {
	for _, v := range list {
		if v == s {
			return true
		}
	}
	return false
}

func (c openCase) checkPool(y, v []float64, want node) {
	for name, method := range map[string]PoolMethod{"PM": PauleMandel, "REML": PoolREML, "DL": DerSimonianLaird} {
		p, err := Pool(y, v, method)
		if err != nil {
			c.Fatal(err)
		}
		near(c, "Q", p.Q, want.num("Q"), 1e-8)
		near(c, "Q p", p.QP, want.num("Q_p"), 1e-7)
		within(c, "I2", 100*p.I2, want.num("I2_DL_percent"), 1e-6)
		near(c, "H2", p.H2, want.num("H2"), 1e-8)
		near(c, "common", p.Common.Value, want.num("fixed", "mu"), 1e-8)
		near(c, "common SE", p.Common.SE, want.num("fixed", "se"), 1e-8)
		lo, hi := p.Tau2Interval(0.95)
		near(c, "tau2 lo", lo, want.num("tau2_qprofile_lo"), 1e-7)
		near(c, "tau2 hi", hi, want.num("tau2_qprofile_hi"), 1e-7)
		w := want.at(name)
		near(c, name+" tau2", p.Tau2, w.num("tau2"), 1e-8)
		near(c, name+" wald", p.Wald.Value, w.num("mu"), 1e-8)
		near(c, name+" wald SE", p.Wald.SE, w.num("wald", "se"), 1e-8)
		within(c, name+" wald p", p.Wald.P(), w.num("wald", "p"), 1e-8)
		checkBounds(c, name+" wald", p.Wald.SE, w.at("wald"))(p.Wald.Interval(0.95))
		c.checkHartungKnapp(name, p, w)
	}
}

func (c openCase) checkHartungKnapp(name string, p Pooled, w node) {
	near(c, name+" factor", p.Factor, w.num("hksj", "q"), 1e-8)
	for block, e := range map[string]Estimate{"hksj": p.HKSJ, "hksj_truncated_q_ge_1": p.Safe} {
		near(c, name+" "+block+" SE", e.SE, w.num(block, "se"), 1e-8)
		near(c, name+" "+block+" df", e.DF, w.num(block, "df"), 0)
		near(c, name+" "+block+" t", e.T(), w.num(block, "t"), 1e-8)
		within(c, name+" "+block+" p", e.P(), w.num(block, "p"), 1e-8)
		checkBounds(c, name+" "+block, e.SE, w.at(block))(e.Interval(0.95))
	}
	checkBounds(c, name+" prediction", p.HKSJ.SE, w.at("prediction_t_kminus1_hksj_se"))(p.Prediction(p.HKSJ, 0.95))
	if p.K > 2 {
		e := p.Wald
		e.DF = float64(p.K - 2)
		checkBounds(c, name+" prediction k-2", e.SE, w.at("prediction_t_kminus2_wald_se"))(p.Prediction(e, 0.95))
	}
}

// checkBounds compares an interval with lo and hi, to 1e-7 of the standard error.
func checkBounds(c openCase, what string, se float64, want node) func(lo, hi float64) {
	return func(lo, hi float64) {
		c.Helper()
		within(c, what+" lo", lo, want.num("lo"), 1e-6*se)
		within(c, what+" hi", hi, want.num("hi"), 1e-6*se)
	}
}
