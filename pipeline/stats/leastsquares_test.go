package stats

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func fitted(t testing.TB, d *design, y []float64) Fit {
	t.Helper()
	f, err := leastSquares(d.matrix(), y)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// certified compares every coefficient and standard error with published values.
func certified(t *testing.T, d *design, f Fit, want [][2]float64, rel float64) {
	t.Helper()
	if len(f.Coef) != len(want) {
		t.Fatalf("%d coefficients, want %d", len(f.Coef), len(want))
	}
	for j, w := range want {
		e := f.Contrast(d.contrast(d.names[j], ""))
		near(t, d.names[j], f.Coef[j], w[0], rel)
		near(t, d.names[j]+" by contrast", e.Value, w[0], rel)
		near(t, d.names[j]+" SE", e.SE, w[1], rel)
	}
}

// NIST StRD, www.itl.nist.gov/div898/strd/lls/data/Norris.shtml; nine digits asked.
func TestNorris(t *testing.T) {
	d := readTable(t, "testdata/nist_norris.csv")
	x := intercept(d.rows).with("x", d.num("x"))
	f := fitted(t, x, d.num("y"))
	certified(t, x, f, [][2]float64{
		{-0.262323073774029, 0.232818234301152},
		{1.00211681802045, 0.429796848199937e-03},
	}, 1e-12)
	near(t, "residual SS", f.ResidualSS, 26.6173985294224, 1e-12)
	near(t, "sigma", f.Sigma, 0.884796396144373, 1e-12)
	if f.ResidualDF != 34 {
		t.Errorf("residual df %d, want 34", f.ResidualDF)
	}
}

// NIST StRD Longley (1967), six nearly collinear predictors; eight digits asked.
func TestLongley(t *testing.T) {
	d := readTable(t, "testdata/nist_longley.csv")
	x := intercept(d.rows)
	for j := 1; j <= 6; j++ {
		x.with(fmt.Sprint("x", j), d.num(fmt.Sprint("x", j)))
	}
	f := fitted(t, x, d.num("y"))
	certified(t, x, f, [][2]float64{
		{-3482258.63459582, 890420.383607373},
		{15.0618722713733, 84.9149257747669},
		{-0.358191792925910e-01, 0.334910077722432e-01},
		{-2.02022980381683, 0.488399681651699},
		{-1.03322686717359, 0.214274163161675},
		{-0.511041056535807e-01, 0.226073200069370},
		{1829.15146461355, 455.478499142212},
	}, 1e-11)
	near(t, "residual SS", f.ResidualSS, 836424.055505915, 1e-12)
}

// NIST StRD Wampler1: an exact polynomial of degree 5; seven digits asked.
func TestWampler1(t *testing.T) {
	d := readTable(t, "testdata/nist_wampler1.csv")
	x := intercept(d.rows)
	for p := 1; p <= 5; p++ {
		col := make([]float64, d.rows)
		for i, v := range d.num("x") {
			col[i] = math.Pow(v, float64(p))
		}
		x.with(fmt.Sprint("x^", p), col)
	}
	f := fitted(t, x, d.num("y"))
	for j, b := range f.Coef {
		within(t, x.names[j], b, 1, 1e-12)
		within(t, x.names[j]+" SE", f.Contrast(x.contrast(x.names[j], "")).SE, 0, 1e-9)
	}
}

// oneWay returns the F ratio and sums of squares of a one-way layout.
func oneWay(t *testing.T, codes []int, levels []string, y []float64) (F, between, within float64) {
	t.Helper()
	x := intercept(len(y)).factor("g", codes, levels)
	full := fitted(t, x, y)
	null := fitted(t, intercept(len(y)), y)
	between = null.ResidualSS - full.ResidualSS
	within = full.ResidualSS
	k := float64(len(levels) - 1)
	return between / k / (within / float64(full.ResidualDF)), between, within
}

// NIST StRD SiRstv, analysis of variance; nine digits asked.
func TestSiRstv(t *testing.T) {
	d := readTable(t, "testdata/nist_sirstv.csv")
	codes, levels := d.codes("instrument", nil)
	F, between, within := oneWay(t, codes, levels, d.num("y"))
	near(t, "between SS", between, 5.11462616000000e-02, 1e-11)
	near(t, "within SS", within, 2.16636560000000e-01, 1e-12)
	near(t, "F", F, 1.18046237440255, 1e-11)
}

// NIST StRD SmLs01, SmLs04, SmLs07: the same layout shifted by 0, 1e6, 1e12. Certified
// F is 21; nine, eight and four digits asked.
func TestSmLs(t *testing.T) {
	d := readTable(t, "testdata/nist_smls01.csv")
	codes, levels := d.codes("treatment", nil)
	for _, c := range []struct{ shift, rel float64 }{{0, 1e-12}, {1e6, 2e-10}, {1e12, 1e-4}} {
		y := d.num("y")
		for i := range y {
			// as published: digits after the point are exact decimals beside the shift
			y[i] = math.Round(y[i]*10)/10 + c.shift
		}
		F, between, within := oneWay(t, codes, levels, y)
		name := fmt.Sprintf("shift %g ", c.shift)
		t.Logf("%sF = %.12g, between %.12g, within %.12g", name, F, between, within)
		near(t, name+"F", F, 21, c.rel)
		near(t, name+"between SS", between, 1.68, c.rel)
		near(t, name+"within SS", within, 1.80, c.rel)
	}
}

// Of aliased columns the later go, wherever they stand, and contrasts in the row space
// stay estimable.
func TestAliasedColumns(t *testing.T) {
	y := []float64{1, 3, 2, 5, 4, 9}
	a := []float64{1, 1, 0, 0, 0, 0}
	b := []float64{0, 0, 1, 1, 0, 0}
	c := []float64{0, 0, 0, 0, 1, 1}
	x := []float64{0, 1, 0, 1, 0, 2}
	zero := make([]float64, 6)
	d := intercept(6).with("zero", zero).with("a", a).with("b", b).with("c", c).with("x", x)
	f := fitted(t, d, y)
	if want := []bool{false, true, false, false, true, false}; !slices.Equal(f.Aliased, want) {
		t.Fatalf("aliased %v, want %v", f.Aliased, want)
	}
	if f.Rank != 4 || f.ResidualDF != 2 || !math.IsNaN(f.Coef[1]) || !math.IsNaN(f.Coef[4]) {
		t.Fatalf("rank %d, residual df %d, coefficients %v", f.Rank, f.ResidualDF, f.Coef)
	}
	g := fitted(t, (&design{}).with("c", c).with("b", b).with("a", a).with("x", x), y)
	for _, pair := range [][2]string{{"a", "b"}, {"a", "c"}, {"c", "b"}} {
		e, want := f.Contrast(d.contrast(pair[0], pair[1])), g.Contrast([]float64{
			signOf("c", pair), signOf("b", pair), signOf("a", pair), 0})
		if !e.Estimable || !want.Estimable {
			t.Fatalf("%v not estimable", pair)
		}
		within(t, fmt.Sprint(pair), e.Value, want.Value, 1e-12)
		within(t, fmt.Sprint(pair, " SE"), e.SE, want.SE, 1e-12)
	}
	if e := f.Contrast(make([]float64, 6)); !e.Estimable || e.Value != 0 || e.SE != 0 {
		t.Errorf("the zero contrast: %+v", e)
	}
	for _, one := range []string{"a", "c", "zero", "(Intercept)"} {
		if e := f.Contrast(d.contrast(one, "")); e.Estimable || !math.IsNaN(e.Value) || !math.IsNaN(e.SE) {
			t.Errorf("%s alone = %v, want not estimable", one, e)
		}
	}
}

func signOf(name string, pair [2]string) float64 {
	switch name {
	case pair[0]:
		return 1
	case pair[1]:
		return -1
	}
	return 0
}

// The stated tolerance: a column of which 1e-8 is new takes part, one of which 1e-10 is new
// does not; a contrast off the row space by 1e-8 passes for rounding, one by 1e-6 does not.
func TestTolerances(t *testing.T) {
	y, x := []float64{1, 3, 2, 5}, []float64{1, -1, 2, -2}
	fresh := []float64{1, 1, -1, -1}
	for _, c := range []struct {
		share   float64
		aliased bool
	}{{1e-8, false}, {1e-10, true}} {
		near := make([]float64, 4)
		for i := range near {
			near[i] = x[i] + c.share*fresh[i]
		}
		f := fitted(t, (&design{}).with("x", x).with("near", near), y)
		if f.Aliased[1] != c.aliased {
			t.Errorf("new part %g: aliased %v", c.share, f.Aliased[1])
		}
	}
	for _, scale := range []float64{1e-6, 1e6} {
		near, far := make([]float64, 4), make([]float64, 4)
		for i := range near {
			near[i], far[i] = scale*(x[i]+1e-10*fresh[i]), scale*(x[i]+1e-8*fresh[i])
		}
		if f := fitted(t, (&design{}).with("x", x).with("near", near).with("far", far), y); !f.Aliased[1] ||
			f.Aliased[2] {
			t.Errorf("scale %g: aliased %v", scale, f.Aliased)
		}
	}
	f := fitted(t, (&design{}).with("x", x).with("again", x), y)
	if !f.Contrast([]float64{1, 1 + 1e-8}).Estimable || f.Contrast([]float64{1, 1 + 1e-6}).Estimable {
		t.Error("row space tolerance is not 1e-7")
	}
	if f.Contrast([]float64{1e-6, 1e-6 * (1 + 1e-6)}).Estimable ||
		!f.Contrast([]float64{1e6, 1e6 * (1 + 1e-8)}).Estimable {
		t.Error("row space tolerance is not relative")
	}
	exact := fitted(t, intercept(3).with("x", []float64{0.1, 0.2, 0.4}), []float64{1.3, 1.6, 2.2})
	if exact.ResidualSS != 0 || exact.Sigma != 0 || exact.Contrast([]float64{0, 1}).SE != 0 {
		t.Errorf("a fit that only rounding disturbs has residual SS %g", exact.ResidualSS)
	}
	almost := fitted(t, intercept(3).with("x", []float64{0.1, 0.2, 0.4}), []float64{1.3, 1.6, 2.2 + 1e-12})
	if almost.ResidualSS == 0 {
		t.Error("a disturbance of 1e-12 counts as rounding")
	}
}

func TestNoResidualDegreesOfFreedom(t *testing.T) {
	d := intercept(2).with("x", []float64{0, 1})
	f := fitted(t, d, []float64{3, 5})
	e := f.Contrast([]float64{0, 1})
	if !e.Estimable || e.DF != 0 || !math.IsNaN(e.SE) || !math.IsNaN(f.Sigma) || f.ResidualSS != 0 {
		t.Errorf("estimate %+v, sigma %v, residual SS %v", e, f.Sigma, f.ResidualSS)
	}
	within(t, "slope", e.Value, 2, 1e-14)
	if lo, hi := e.Interval(0.95); !math.IsNaN(lo) || !math.IsNaN(hi) || !math.IsNaN(e.P()) {
		t.Errorf("interval %v to %v, p %v: want none", lo, hi, e.P())
	}
}

func TestFewerRowsThanColumns(t *testing.T) {
	f := fitted(t, intercept(1).with("x", []float64{2}), []float64{7})
	if f.Rank != 1 || f.ResidualDF != 0 || !f.Aliased[1] || f.Coef[0] != 7 {
		t.Errorf("%+v", f)
	}
	none, err := leastSquares(NewMatrix(0, 2), nil)
	if err != nil || none.Rank != 0 || none.Contrast([]float64{1, 0}).Estimable {
		t.Errorf("no rows: %+v, %v", none, err)
	}
}

func TestLeastSquaresRefuses(t *testing.T) {
	for want, c := range map[string]struct {
		x Matrix
		y []float64
	}{
		"least squares: 2 rows but 1 responses":                 {NewMatrix(2, 1), []float64{1}},
		"least squares: response 1 is not a finite number":      {NewMatrix(2, 1), []float64{1, nan}},
		"least squares: row 0, column 0 is not a finite number": {Matrix{1, 1, []float64{nan}}, []float64{1}},
		"least squares: response 0 is not a finite number":      {NewMatrix(1, 1), []float64{-inf}},
		"least squares: row 1, column 0 is not a finite number": {Matrix{2, 1, []float64{1, inf}}, []float64{1, 2}},
		"least squares: matrix of 2 by 2 holds 3 numbers":       {Matrix{2, 2, []float64{1, 2, 3}}, []float64{1, 2}},
	} {
		if _, err := leastSquares(c.x, c.y); err == nil || err.Error() != want {
			t.Errorf("error %v, want %q", err, want)
		}
	}
	f := fitted(t, intercept(3), []float64{1, 2, 4})
	for _, c := range [][]float64{nil, {1, 2}, {nan}} {
		if f.Contrast(c).Estimable {
			t.Errorf("contrast %v is estimable", c)
		}
	}
	if (Fit{}).Contrast(nil).Estimable {
		t.Error("the zero Fit estimates something")
	}
}

// A straight line has leverages 1/n + (x-mean)²/Sxx (textbook), which sum to the rank.
func TestLeverages(t *testing.T) {
	f := fitted(t, intercept(4).with("x", []float64{1, 2, 3, 6}), []float64{1, 0, 2, 4})
	for i, want := range []float64{1./4 + 4./14, 1./4 + 1./14, 1. / 4, 1./4 + 9./14} {
		within(t, fmt.Sprint("leverage ", i), f.Leverages[i], want, 1e-15)
	}
}

// Shuffling rows changes nothing beyond rounding, scaling the response scales
// coefficients and standard errors, and residuals are orthogonal to the columns.
func TestLeastSquaresProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(5, 25).Draw(t, "n")
		draw := func(name string) []float64 {
			return quarters(t, name, n)
		}
		x, z, y := draw("x"), draw("z"), draw("y")
		scale := rapid.Float64Range(0.1, 1000).Draw(t, "scale")
		perm := rapid.Permutation(indices(n)).Draw(t, "order")
		f, err := leastSquares(intercept(n).with("x", x).with("z", z).matrix(), y)
		if err != nil {
			t.Fatal(err)
		}
		px, pz, py := make([]float64, n), make([]float64, n), make([]float64, n)
		for i, j := range perm {
			px[i], pz[i], py[i] = x[j], z[j], y[j]*scale
		}
		g, _ := leastSquares(intercept(n).with("x", px).with("z", pz).matrix(), py)
		if f.Rank < 3 || g.Rank < 3 || f.Sigma == 0 {
			t.Skip("collinear or an exact fit")
		}
		c := []float64{0, 1, 0}
		a, b := f.Contrast(c), g.Contrast(c)
		if tol := 1e-9 * (math.Abs(a.Value) + a.SE); math.Abs(a.Value-b.Value/scale) > tol ||
			math.Abs(a.SE-b.SE/scale) > tol {
			t.Fatalf("%+v against %+v scaled by %v", a, b, scale)
		}
		if s := math.Abs(dot(f.Residuals, x)); s > 1e-9*(1+norm(x)*norm(y)) {
			t.Fatalf("residuals not orthogonal: %v", s)
		}
	})
}

// quarters draws n numbers from -20 to 20 in steps of a quarter, so that columns are either
// exactly collinear or far from it.
func quarters(t *rapid.T, name string, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = float64(rapid.IntRange(-80, 80).Draw(t, name)) / 4
	}
	return out
}

func indices(n int) []int {
	s := make([]int, n)
	for i := range s {
		s[i] = i
	}
	return s
}
