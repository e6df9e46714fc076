package stats

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func poolWithPrior(t testing.TB, y, v []float64, scale float64) PriorPool {
	t.Helper()
	p, err := PoolWithPrior(y, v, scale)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// With next to no spread between trials it is the common-effect summary of the 13 trials:
// -0.4303 with standard error 0.0405, as published (TestPoolBCG has more digits, by R).
func TestPoolWithPriorLimits(t *testing.T) {
	y, v := bcg(t)
	p := poolWithPrior(t, y, v, 1e-6)
	near(t, "mean", p.Mean, -0.430285163654091, 1e-6)
	near(t, "SD", p.SD, 0.0404987517108638, 1e-6)
	low, high := p.Interval(0.95)
	near(t, "low", low, -0.430285163654091-1.95996398454005*0.0404987517108638, 1e-6)
	near(t, "high", high, -0.430285163654091+1.95996398454005*0.0404987517108638, 1e-6)
	newLow, _ := p.NewInterval(0.95)
	near(t, "new", newLow, low, 1e-5)
}

// Where all variances are equal the estimates enter by their mean and their sum of squares
// S about it: p(τ | y) ∝ exp(-τ²/2s²) a^-(k-1)/2 exp(-S/2a), a = v+τ², and μ given τ is
// normal with variance a/k (algebra). Integrated here by Simpson's rule over τ in other
// steps.
func TestPoolWithPriorEqualVariances(t *testing.T) {
	y, variance, scale := []float64{0.021, 0.008, 0.013, -0.002, 0.017}, 0.0001, 0.01
	v := []float64{variance, variance, variance, variance, variance}
	k, mean, s := float64(len(y)), 0.0, 0.0
	for _, x := range y {
		mean += x / k
	}
	for _, x := range y {
		s += (x - mean) * (x - mean)
	}
	integral := func(of func(tau, a float64) float64) float64 {
		const steps = 4000
		sum, h := 0.0, 0.09/steps
		for i := range steps + 1 {
			tau := h * float64(i)
			a := variance + tau*tau
			weight := []float64{2, 4}[i%2]
			if i == 0 || i == steps {
				weight = 1
			}
			sum += weight * h / 3 * of(tau, a) * math.Exp(-tau*tau/2/scale/scale) *
				math.Pow(a/variance, -(k-1)/2) * math.Exp(-s/2/a)
		}
		return sum
	}
	whole := integral(func(float64, float64) float64 { return 1 })
	p := poolWithPrior(t, y, v, scale)
	near(t, "mean", p.Mean, mean, 1e-12)
	near(t, "SD", p.SD, math.Sqrt(integral(func(_, a float64) float64 { return a / k })/whole), 1e-9)
	near(t, "spread", p.Tau, integral(func(tau, _ float64) float64 { return tau })/whole, 1e-5)
	for _, x := range []float64{0, 0.0075, 0.02} {
		phi := func(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }
		above := integral(func(_, a float64) float64 { return phi((mean - x) / math.Sqrt(a/k)) }) / whole
		near(t, "above", p.Above(x), above, 1e-9)
		another := integral(func(tau, a float64) float64 { return phi((mean - x) / math.Sqrt(a/k+tau*tau)) }) / whole
		near(t, "above, new", p.NewAbove(x), another, 1e-9)
	}
	low, high := p.NewInterval(0.95)
	near(t, "0.025 below", 1-p.NewAbove(low), 0.025, 1e-9)
	near(t, "0.025 above", p.NewAbove(high), 0.025, 1e-9)
}

// A new study is less certain than the mean over studies; turning the signs turns the
// answer; the order does not matter; a wider prior makes the interval no narrower.
func TestPoolWithPriorProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "n")
		var y, v, other []float64
		for range n {
			y = append(y, rapid.Float64Range(-0.05, 0.05).Draw(t, "y"))
			se := rapid.Float64Range(0.001, 0.02).Draw(t, "se")
			v = append(v, se*se)
			other = append(other, -y[len(y)-1])
		}
		p, err := PoolWithPrior(y, v, 0.01)
		if err != nil {
			t.Fatal(err)
		}
		low, high := p.Interval(0.95)
		newLow, newHigh := p.NewInterval(0.95)
		if newLow > low || newHigh < high {
			t.Fatalf("mean %v to %v, new %v to %v", low, high, newLow, newHigh)
		}
		turned, _ := PoolWithPrior(other, v, 0.01)
		if d := turned.Mean + p.Mean; math.Abs(d) > 1e-12 || math.Abs(turned.Above(0)+p.Above(0)-1) > 1e-9 {
			t.Fatalf("turned: %v and %v", turned, p)
		}
	})
}

func TestPoolWithPriorRefuses(t *testing.T) {
	for _, c := range []struct {
		y, v  []float64
		scale float64
	}{{nil, nil, 1}, {[]float64{1}, []float64{1}, 0}, {[]float64{1}, []float64{0}, 1},
		{[]float64{math.NaN()}, []float64{1}, 1}, {[]float64{1, 2}, []float64{1}, 1},
		{[]float64{1}, []float64{1}, math.Inf(1)}} {
		if _, err := PoolWithPrior(c.y, c.v, c.scale); err == nil {
			t.Errorf("%v was pooled", c)
		}
	}
}
