package stats

import (
	"math"
	"slices"
	"strings"
	"testing"
)

// notMixed names the L folders without a mixed model in them and what is checked instead.
var notMixed = map[string]string{
	"L07_machines_one_per_cell": "one row for each group: the results are ordinary least squares",
	"L09_machines_one_session":  "groups and treatments coincide: the results are ordinary least squares",
}

// All 29 folders L*: 27 mixed models and two that can only be least squares.
func TestOpenCasesMixed(t *testing.T) {
	ran := 0
	eachOpenCase(t, "L", 29, func(c openCase) {
		if why, ok := notMixed[strings.TrimSuffix(c.results.path, "/results")]; ok {
			c.Log(why)
			c.checkLeastSquares(c.results.at("ols"))
			c.checkUnseparable()
			return
		}
		c.checkMixed()
		ran++
	})
	if ran != 27 && ran != 0 {
		t.Errorf("compared %d mixed models, want 27", ran)
	}
}

func (c openCase) checkMixed() {
	lmm := c.results.at("lmm")
	var names []string
	for _, v := range c.results.list("fixed_columns") {
		names = append(names, v.(string))
	}
	response, first, group := formula(lmm.text("formula"))
	d := c.columns(names)
	m, err := denseREML(d.matrix(), c.data.num(response), c.groups(group))
	if err != nil {
		c.Fatal(err)
	}
	want := lmm.at("exact")
	if s := map[string]MixedStatus{"interior": Interior,
		"boundary_zero": BoundaryZero}[want.text("status")]; m.Status != s {
		c.Fatalf("status %v, want %s", m.Status, want.text("status"))
	}
	if m.BetweenDF != int(lmm.num("df_between_rankXZ_minus_rankX")) ||
		m.WithinDF != int(lmm.num("df_within_n_minus_rankXZ")) {
		c.Errorf("df between %d, within %d", m.BetweenDF, m.WithinDF)
	}
	near(c, "sigma2", m.Sigma2, want.num("sigma2"), 1e-8)
	near(c, "sigmab2", m.SigmaB2, want.num("sigmab2"), 1e-8)
	near(c, "criterion", m.Criterion, want.num("REMLcrit"), 1e-10)
	checkVarianceCov(c, "observed", m.Observed, want.at("vcov_varcomp_observed_info"))
	checkVarianceCov(c, "expected", m.Expected, want.at("vcov_varcomp_expected_info"))
	for j, name := range names {
		e := m.Contrast(d.contrast(name, ""), Satterthwaite)
		scale := want.num("coef", name, "se")
		within(c, name, m.Coef[j], want.num("coef", name, "est"), 1e-8*math.Max(scale, math.Abs(m.Coef[j])))
		within(c, name+" by contrast", e.Value, m.Coef[j], 1e-10*math.Max(scale, math.Abs(m.Coef[j])))
		near(c, name+" SE", e.SE, scale, 1e-8)
	}
	for block, method := range map[string]DFMethod{"contrast_satterthwaite": Satterthwaite,
		"contrast_kr": KenwardRoger} {
		for _, name := range want.at(block).keys() {
			e := m.Contrast(c.contrastFor(d, first, name), method)
			c.checkEstimate(block+" "+name, e, want.at(block, name))
		}
	}
	c.checkEffects(m, group, want)
	if len(group) == 2 {
		c.checkAbsorbed(lmm)
	}
}

// checkAbsorbed fits treatment and session models again with the session eliminated.
func (c openCase) checkAbsorbed(lmm node) {
	response, first, group := formula(lmm.text("formula"))
	second := group[0]
	if second == first {
		second = group[1]
	}
	class, classes := c.data.codes(first, nil)
	level, _ := c.data.codes(second, nil)
	d := Absorbed{Y: c.data.num(response), Level: level, Group: c.groups(group), Class: class, Classes: len(classes)}
	var covariate string
	for _, name := range lmm.at("exact", "coef").keys() {
		if _, isColumn := c.data.cols[name]; isColumn {
			covariate = name
			d.Covariates = Matrix{c.data.rows, 1, c.data.num(name)}
		}
	}
	m, err := REMLAbsorbed(d)
	if err != nil {
		c.Fatal(err)
	}
	want := lmm.at("exact")
	near(c, "absorbed sigma2", m.Sigma2, want.num("sigma2"), 1e-8)
	near(c, "absorbed sigmab2", m.SigmaB2, want.num("sigmab2"), 1e-8)
	near(c, "absorbed criterion", m.Criterion, want.num("REMLcrit"), 1e-10)
	for block, method := range map[string]DFMethod{"contrast_satterthwaite": Satterthwaite,
		"contrast_kr": KenwardRoger} {
		for _, name := range want.at(block).keys() {
			l := make([]float64, len(m.Coef))
			if plus, minus, ok := strings.Cut(name, "-"); ok {
				l[slices.Index(classes, plus)], l[slices.Index(classes, minus)] = 1, -1
			} else if name == covariate {
				l[len(classes)] = 1
			} else {
				c.Fatalf("contrast %q", name)
			}
			c.checkEstimate("absorbed "+block+" "+name, m.Contrast(l, method), want.at(block, name))
		}
	}
}

func checkVarianceCov(c openCase, what string, got VarianceCov, want node) {
	near(c, what+" sb2,sb2", got.BB, want.num("sb2_sb2"), 1e-6)
	near(c, what+" sb2,s2", got.BW, want.num("sb2_s2"), 1e-6)
	near(c, what+" s2,s2", got.WW, want.num("s2_s2"), 1e-6)
}

// checkEstimate compares est, se to 1e-8 relative, df to 1e-6, p to 1e-8 absolute, and
// the 95 % interval. An estimate near zero is judged beside its standard error.
func (c openCase) checkEstimate(what string, e Estimate, want node) {
	c.Helper()
	within(c, what, e.Value, want.num("est"), 1e-8*math.Max(math.Abs(want.num("est")), 1e-3*e.SE))
	if !want.has("se") {
		return
	}
	near(c, what+" SE", e.SE, want.num("se"), 1e-8)
	near(c, what+" df", e.DF, want.num("df"), 1e-6)
	within(c, what+" p", e.P(), want.num("p"), 1e-8)
	near(c, what+" p", e.P(), want.num("p"), 1e-5)
	lo, hi := e.Interval(0.95)
	within(c, what+" lo", lo, want.num("lo"), 1e-7*e.SE)
	within(c, what+" hi", hi, want.num("hi"), 1e-7*e.SE)
}

func (c openCase) checkEffects(m *Mixed, group []string, want node) {
	if !want.has("blup") {
		return
	}
	label := map[int]string{}
	for i, g := range c.groups(group) {
		var parts []string
		for _, col := range group {
			parts = append(parts, c.data.text(col)[i])
		}
		label[g] = strings.Join(parts, ":")
	}
	scale := math.Sqrt(m.Sigma2)
	for i, id := range m.GroupIDs {
		within(c, "effect of "+label[id], m.Effects[i], want.num("blup", label[id]), 1e-8*scale)
	}
}

// checkLeastSquares compares a fit with a block written by lm().
func (c openCase) checkLeastSquares(want node) {
	response, first, _ := formula(want.text("formula"))
	d := c.columns(orderedLike(c, want))
	y := c.data.num(response)
	f := fitted(c, d, y)
	if f.ResidualDF != int(want.num("df_residual")) {
		c.Fatalf("residual df %d, want %v", f.ResidualDF, want.num("df_residual"))
	}
	near(c, "residual SS", f.ResidualSS, want.num("rss"), 1e-8)
	near(c, "sigma", f.Sigma, want.num("sigma"), 1e-8)
	for _, block := range []string{"coef", "contrast"} {
		if !want.has(block) {
			continue
		}
		for _, name := range want.at(block).keys() {
			c.checkEstimate(block+" "+name, f.Contrast(c.contrastFor(d, first, name)), want.at(block, name))
		}
	}
}

// orderedLike returns the coefficient names with the intercept first; the rest in any
// order, which least squares does not mind.
func orderedLike(c openCase, want node) []string {
	names := want.at("coef").keys()
	if names[0] != "(Intercept)" {
		c.Fatalf("first coefficient %q", names[0])
	}
	return names
}

// checkUnseparable asks the mixed model for what it cannot give: it must say so and
// return the least squares numbers.
func (c openCase) checkUnseparable() {
	want := c.results.at("ols")
	response, first, _ := formula(want.text("formula"))
	d := c.columns(orderedLike(c, want))
	group, status := []string{"Machine", "Worker"}, NoWithinDF
	if strings.HasPrefix(c.results.path, "L09") {
		group, status = []string{"Machine"}, NoBetweenDF
	}
	m, err := denseREML(d.matrix(), c.data.num(response), c.groups(group))
	if err != nil || m.Status != status {
		c.Fatalf("status %v, want %v (%v)", m.Status, status, err)
	}
	for _, name := range want.at("contrast").keys() {
		e := m.Contrast(c.contrastFor(d, first, name), Satterthwaite)
		c.checkEstimate(name, e, want.at("contrast", name))
	}
}
