package stats

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// bcg is 13 trials as log risk ratios with their variances (Colditz et al. 1994).
func bcg(t testing.TB) (y, v []float64) {
	d := readTable(t, "testdata/bcg_trials.csv")
	a, b, c, e := d.num("tpos"), d.num("tneg"), d.num("cpos"), d.num("cneg")
	for i := range a {
		y = append(y, math.Log(a[i]/(a[i]+b[i])/(c[i]/(c[i]+e[i]))))
		v = append(v, 1/a[i]-1/(a[i]+b[i])+1/c[i]-1/(c[i]+e[i]))
	}
	return y, v
}

// R 4.2.2: exact roots of the same estimating equations, metafor alongside.
func TestPoolBCG(t *testing.T) {
	y, v := bcg(t)
	for _, c := range []struct {
		method                               PoolMethod
		tau2, mu, wald, factor, hksj, lo, hi float64
		predictionLo, predictionHi           float64
	}{
		{PoolREML, 0.313243258136481, -0.714532342158139, 0.179781516105206, 1.01126997196685, 0.180791744092848,
			-1.10844371368555, -0.320620970630728, -1.9960168341962, 0.566952149879923},
		{PauleMandel, 0.318068452205024, -0.714968153493444, 0.180892191537623, 1, 0.180892191537624,
			-1.10909838120224, -0.320837925784648, -2.0054259229281, 0.575489615941215},
		{DerSimonianLaird, 0.308760262862376, -0.714117222073227, 0.178742089535403, 1.02198950693277,
			0.180696628335547, -1.10782135416833, -0.320413089978126, -1.98720696343074, 0.558972519284284},
	} {
		p, err := Pool(y, v, c.method)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "tau2", p.Tau2, c.tau2, 1e-12)
		near(t, "mu", p.Wald.Value, c.mu, 1e-12)
		near(t, "wald SE", p.Wald.SE, c.wald, 1e-12)
		near(t, "factor", p.Factor, c.factor, 1e-12)
		near(t, "HKSJ SE", p.HKSJ.SE, c.hksj, 1e-12)
		near(t, "HKSJ df", p.HKSJ.DF, 12, 0)
		lo, hi := p.HKSJ.Interval(0.95)
		near(t, "lo", lo, c.lo, 1e-12)
		near(t, "hi", hi, c.hi, 1e-12)
		lo, hi = p.Prediction(p.HKSJ, 0.95)
		near(t, "prediction lo", lo, c.predictionLo, 1e-12)
		near(t, "prediction hi", hi, c.predictionHi, 1e-12)
		near(t, "Q", p.Q, 152.233008082373, 1e-12)
		near(t, "Q p", p.QP, 1.996764590846e-26, 1e-10)
		near(t, "I2", p.I2, 0.92117346854562, 1e-12)
		near(t, "H2", p.H2, 12.6860840068644, 1e-12)
		near(t, "common", p.Common.Value, -0.430285163654091, 1e-12)
		near(t, "common SE", p.Common.SE, 0.0404987517108638, 1e-12)
		near(t, "common p", p.Common.P(), NormalTwoSided(0.430285163654091/0.0404987517108638), 1e-11)
		lo, hi = p.Wald.Interval(0.95)
		near(t, "wald lo", lo, c.mu-1.95996398454005*c.wald, 1e-12)
		near(t, "wald hi", hi, c.mu+1.95996398454005*c.wald, 1e-12)
		lo, hi = p.Tau2Interval(0.95)
		near(t, "tau2 lo", lo, 0.119718361141261, 1e-10)
		near(t, "tau2 hi", hi, 1.11147908406093, 1e-10)
	}
}

// BCG trials 1, 2 and 4 agree too well: tau² = 0, and the safeguard keeps the larger
// standard error.
func TestPoolSafeguard(t *testing.T) {
	y, v := bcg(t)
	y, v = []float64{y[0], y[1], y[3]}, []float64{v[0], v[1], v[3]}
	for _, m := range []PoolMethod{PoolREML, PauleMandel, DerSimonianLaird} {
		p, _ := Pool(y, v, m)
		if p.Tau2 != 0 || !(p.Factor < 1) || p.HKSJ.SE >= p.Wald.SE || p.Safe.SE != p.Wald.SE || p.Safe.DF != 2 ||
			p.I2 != 0 {
			t.Errorf("%+v", p)
		}
		near(t, "HKSJ", p.HKSJ.SE, p.Wald.SE*math.Sqrt(p.Factor), 1e-14)
		if lo, _ := p.Tau2Interval(0.95); lo != 0 {
			t.Errorf("tau2 from %v", lo)
		}
	}
	p, _ := Pool(bcgFirst(t))
	if p.Safe.SE != p.HKSJ.SE || p.Factor < 1 {
		t.Errorf("%+v", p)
	}
}

func bcgFirst(t testing.TB) ([]float64, []float64, PoolMethod) {
	y, v := bcg(t)
	return y, v, PoolREML
}

// Equal variances s²: tau² = var(y) - s² by every method, and HKSJ is the t interval of
// the plain mean.
func TestPoolEqualVariances(t *testing.T) {
	y := []float64{1, 4, 2, 7, 3}
	v := []float64{0.5, 0.5, 0.5, 0.5, 0.5}
	for _, m := range []PoolMethod{PoolREML, PauleMandel, DerSimonianLaird} {
		p, _ := Pool(y, v, m)
		e := MeanOf(y)
		near(t, "tau2", p.Tau2, Variance(y)-0.5, 1e-12)
		near(t, "mean", p.Safe.Value, e.Value, 1e-14)
		near(t, "SE", p.Safe.SE, e.SE, 1e-12)
	}
}

// A likelihood with two maxima (found by search): the higher one is not at zero, and no
// tau² on a fine grid is better.
func TestPoolTwoMaxima(t *testing.T) {
	p, err := Pool([]float64{35, 36, 9}, []float64{0.01, 0.01, 100}, PoolREML)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "tau2", p.Tau2, 0.514432445043172, 1e-12)
	q, _ := Pool([]float64{10, 17, 5, 22, 22, 14}, []float64{1, 25, 4, 0.001, 0.001, 1}, PoolREML)
	near(t, "tau2", q.Tau2, 45.59430912354239, 1e-10)
	q, _ = Pool([]float64{37, 14, 14, 23, 17}, []float64{100, 0.001, 0.001, 1, 4}, PoolREML)
	near(t, "tau2", q.Tau2, 21.49570425864186, 1e-10)
	// a narrow valley that a coarse search steps over; root of the score by mpmath
	q, _ = Pool([]float64{0.5, 3.875, 1}, []float64{0.5, 1.75, 0.0625}, PoolREML)
	near(t, "tau2", q.Tau2, 1.18356896792006, 1e-12)
	for i := -40; i < 40; i++ {
		if at := math.Pow(10, float64(i)/10); p.remlCriterion(at) < p.remlCriterion(p.Tau2)-1e-12 {
			t.Errorf("tau2 %v is better", at)
		}
	}
}

// Two studies: Q - 1 = (y1-y2)²/(v1+v2) - 1 with one degree of freedom, so the Q-profile
// ends are (y1-y2)²/chi-square - v for equal variances v = 1.
func TestPoolTwo(t *testing.T) {
	p, _ := Pool([]float64{1, 5}, []float64{1, 1}, PauleMandel)
	near(t, "tau2", p.Tau2, 7, 1e-12)
	near(t, "Q", p.Q, 8, 1e-14)
	lo, hi := p.Tau2Interval(0.95)
	z := NormalQuantile(0.9875) // chi-square with 1 df is z²
	near(t, "lo", lo, 8/(z*z)-1, 1e-9)
	z = NormalQuantile(0.5125)
	near(t, "hi", hi, 8/(z*z)-1, 1e-9)
	near(t, "df", p.HKSJ.DF, 1, 0)
	near(t, "HKSJ SE", p.HKSJ.SE, 2, 1e-14)
}

func TestPoolFew(t *testing.T) {
	p, err := Pool([]float64{3}, []float64{4}, PoolREML)
	if err != nil || p.Tau2 != 0 || p.Wald.Value != 3 || p.Wald.SE != 2 || !math.IsNaN(p.HKSJ.SE) || p.HKSJ.DF != 0 ||
		!math.IsNaN(p.Q) || !math.IsNaN(p.Safe.SE) {
		t.Errorf("one: %+v, %v", p, err)
	}
	if lo, hi := p.Tau2Interval(0.95); !math.IsNaN(lo) || !math.IsNaN(hi) {
		t.Error("one study has a heterogeneity interval")
	}
	if p, err := Pool(nil, nil, PoolREML); err != nil || p.Safe.Estimable || p.Common.Estimable || !math.IsNaN(p.Tau2) {
		t.Errorf("none: %+v, %v", p, err)
	}
	same, _ := Pool([]float64{2, 2}, []float64{1, 3}, PauleMandel)
	if same.Q != 0 || same.I2 != 0 || same.Tau2 != 0 || same.HKSJ.SE != 0 || same.Safe.SE != math.Sqrt(0.75) {
		t.Errorf("identical: %+v", same)
	}
	for want, c := range map[string][2][]float64{
		"pooling: 1 estimates but 0 variances":               {{1}, nil},
		"pooling: estimate 1 is not a finite number":         {{1, nan}, {1, 1}},
		"pooling: variance 0 is 0, not a positive number":    {{1, 2}, {0, 1}},
		"pooling: variance 1 is +Inf, not a positive number": {{1, 2}, {1, inf}},
		"pooling: variance 1 is NaN, not a positive number":  {{1, 2}, {1, nan}},
	} {
		if _, err := Pool(c[0], c[1], PoolREML); err == nil || err.Error() != want {
			t.Errorf("error %v, want %q", err, want)
		}
	}
	full, _ := Pool(bcgFirst(t))
	if lo, hi := full.Tau2Interval(1); !math.IsNaN(lo) || !math.IsNaN(hi) {
		t.Error("an interval of level 1")
	}
}

// The REML answer is no worse than any tau² on a fine grid; order does not matter; scaling
// estimates scales the answer.
func TestPoolProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.IntRange(2, 9).Draw(t, "k")
		y := rapid.SliceOfN(rapid.Float64Range(-4, 4), k, k).Draw(t, "y")
		v := rapid.SliceOfN(rapid.Float64Range(0.01, 5), k, k).Draw(t, "v")
		p, err := Pool(y, v, PoolREML)
		if err != nil {
			t.Fatal(err)
		}
		for i := -30; i < 30; i++ {
			at := math.Pow(10, float64(i)/10)
			if p.remlCriterion(at) < p.remlCriterion(p.Tau2)-1e-9 {
				t.Fatalf("criterion lower at %v than at %v", at, p.Tau2)
			}
		}
		y2, v2 := make([]float64, k), make([]float64, k)
		for i := range y {
			y2[k-1-i], v2[k-1-i] = -3*y[i], 9*v[i]
		}
		for _, m := range []PoolMethod{PoolREML, PauleMandel, DerSimonianLaird} {
			a, _ := Pool(y, v, m)
			b, _ := Pool(y2, v2, m)
			tol := 1e-7 * (1 + a.Tau2)
			if math.Abs(a.Tau2*9-b.Tau2) > 9*tol || math.Abs(a.Safe.Value*3+b.Safe.Value) > tol ||
				math.Abs(a.Safe.SE*3-b.Safe.SE) > tol {
				t.Fatalf("method %d: %+v against %+v", m, a, b)
			}
		}
	})
}
