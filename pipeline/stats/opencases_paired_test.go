package stats

import "testing"

// All six folders P*; see openCaseGaps for the parts that have no counterpart here.
func TestOpenCasesPaired(t *testing.T) {
	eachOpenCase(t, "P", 6, func(c openCase) {
		a, b := c.data.num("a"), c.data.num("b")
		d := make([]float64, len(a))
		for i := range d {
			d[i] = b[i] - a[i]
		}
		c.checkPairedT(d)
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
}

func (c openCase) checkSignFlip(d []float64) {
	w := c.results.at("signflip_exact")
	r := signFlip(d, 1)
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
