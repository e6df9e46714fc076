package stats

import (
	"strconv"
	"strings"
	"testing"
)

// All six folders P*; see openCaseGaps for the parts that have no counterpart here.
func TestOpenCasesPaired(t *testing.T) {
	eachOpenCase(t, "P", 6, func(c openCase) {
		a, b := c.data.num("a"), c.data.num("b")
		d := make([]float64, len(a))
		for i := range d {
			d[i] = b[i] - a[i]
		}
		c.checkPairedT(d)
		c.checkRanks(d)
		if len(d) <= 20 { // R enumerated no more
			c.checkSignFlip(d)
		}
	})
}

func (c openCase) checkPairedT(d []float64) {
	r := c.results
	e := MeanOf(d)
	near(c, "mean", e.Value, r.num("mean"), 1e-10)
	near(c, "sd", SD(d), r.num("sd"), 1e-10)
	near(c, "se", e.SE, r.num("se"), 1e-10)
	near(c, "t", e.T(), r.num("t", "t"), 1e-10)
	near(c, "df", e.DF, r.num("t", "df"), 0)
	within(c, "p", e.P(), r.num("t", "p"), 1e-12)
	within(c, "p greater", StudentTail(e.T(), e.DF), r.num("t", "p_greater"), 1e-12)
	within(c, "p less", StudentCDF(e.T(), e.DF), r.num("t", "p_less"), 1e-12)
	lo, hi := e.Interval(0.95)
	near(c, "lo", lo, r.num("t", "lo"), 1e-8)
	near(c, "hi", hi, r.num("t", "hi"), 1e-8)
	near(c, "dz", StandardisedMean(d), r.num("cohen_dz"), 1e-10)
	for _, key := range r.at("tost").keys() {
		w := r.at("tost", key)
		margin, err := strconv.ParseFloat(strings.TrimPrefix(key, "margin_"), 64)
		if err != nil {
			c.Fatal(err)
		}
		q := TOST(e, margin, 0.05)
		near(c, key+" t lower", q.TLower, w.num("t_lower"), 1e-10)
		near(c, key+" t upper", q.TUpper, w.num("t_upper"), 1e-10)
		within(c, key+" p lower", q.PLower, w.num("p_lower"), 1e-12)
		within(c, key+" p upper", q.PUpper, w.num("p_upper"), 1e-12)
		within(c, key+" p", q.P, w.num("p_tost"), 1e-12)
		near(c, key+" lo", q.Lo, w.num("ci90_lo"), 1e-8)
		near(c, key+" hi", q.Hi, w.num("ci90_hi"), 1e-8)
		if q.Equivalent != w.at("equivalent_at_5pct").value.(bool) {
			c.Errorf("%s: equivalent %v", key, q.Equivalent)
		}
	}
}

func (c openCase) checkRanks(d []float64) {
	w := c.results.at("signrank_zero_dropped_midranks_exact")
	r := SignedRank(d)
	near(c, "n", float64(r.N), w.num("n_nonzero"), 0)
	near(c, "V", r.V, w.num("V"), 0)
	within(c, "p lower", r.PLower, w.num("p_lower"), 1e-12)
	within(c, "p upper", r.PUpper, w.num("p_upper"), 1e-12)
	within(c, "p", r.P, w.num("p_two_sided"), 1e-12)
	within(c, "p of exactRankTests", r.P, c.results.num("wilcox.exact_package", "p_two_sided"), 1e-12)
	within(c, "p of coin", r.P, c.results.num("coin_wilcoxon_zero_dropped_exact_p"), 1e-12)
	h, hw := HodgesLehmann(d, 0.95), c.results.at("hodges_lehmann")
	near(c, "Hodges-Lehmann", h.Value, hw.num("estimate"), 1e-10)
	near(c, "Hodges-Lehmann lo", h.Lo, hw.num("lo"), 1e-10)
	near(c, "Hodges-Lehmann hi", h.Hi, hw.num("hi"), 1e-10)
	near(c, "Hodges-Lehmann level", h.Level, hw.num("achieved_level"), 1e-13)
	s, sw := SignTest(d), c.results.at("sign_test")
	near(c, "positive", float64(s.Positive), sw.num("pos"), 0)
	near(c, "signs", float64(s.N), sw.num("n"), 0)
	within(c, "sign p", s.P, sw.num("p"), 1e-12)
	lo, hi := s.Interval(0.95)
	near(c, "sign lo", lo, sw.num("lo"), 1e-9)
	near(c, "sign hi", hi, sw.num("hi"), 1e-9)
}

func (c openCase) checkSignFlip(d []float64) {
	w := c.results.at("signflip_exact")
	r := SignFlip(d, 1)
	if !r.Exact {
		c.Fatal("not enumerated")
	}
	near(c, "assignments", float64(r.Assignments), w.num("assignments"), 0)
	near(c, "observed", r.Observed, w.num("mean"), 1e-10)
	near(c, "count", float64(r.AtLeast), w.num("count_ge_two_sided"), 0)
	within(c, "p", r.P, w.num("p_two_sided"), 1e-12)
	within(c, "p upper", r.PUpper, w.num("p_upper"), 1e-12)
	within(c, "p lower", r.PLower, w.num("p_lower"), 1e-12)
}
