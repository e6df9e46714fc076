package stats

import "math"

// ChiSquareTail returns P(X >= x) of chi-square with df > 0 degrees of freedom,
// accurate in the upper tail, and NaN beyond 1e10 of them: the series takes rounds as the root of
// df, and would find no end where a float64 cannot count to it.
func ChiSquareTail(x, df float64) float64 {
	switch {
	case math.IsNaN(x) || !(df > 0 && df <= 1e10):
		return math.NaN()
	case x <= 0:
		return 1
	case math.IsInf(x, 1):
		return 0
	case x < df+2:
		return 1 - gammaSeries(x/2, df/2)
	}
	return gammaFraction(x/2, df/2)
}

// gammaDensity returns x^a e^(-x)/Γ(a) in Loader's form: the deviance a g(x/a)
// instead of a difference of large terms.
func gammaDensity(x, a float64) float64 {
	return float64(math.Sqrt(a) / sqrt2Pi * Exp(-stirlingError(a)-float64(a*logDeficit((x-a)/a, x/a))))
}

// gammaSeries is the regularised lower incomplete gamma P(a,x) (DLMF 8.11.4).
func gammaSeries(x, a float64) float64 {
	term, sum := 1/a, 1/a
	for k := a + 1; term > float64(1e-17*sum); k++ {
		term = float64(term * (x / k))
		sum += term
	}
	return float64(gammaDensity(x, a) * sum)
}

// gammaFraction is the regularised upper incomplete gamma Q(a,x) (DLMF 8.9.2),
// Lentz's method.
func gammaFraction(x, a float64) float64 {
	b := x + 1 - a
	d := 1 / b
	c, f := math.Inf(1), d
	for n := 1.0; n < 1e6; n++ {
		an := -float64(n * (n - a))
		b += 2
		d = 1 / (b + float64(an*d))
		c = b + an/c
		step := float64(c * d)
		f = float64(f * step)
		if math.Abs(step-1) < 1e-16 {
			break
		}
	}
	return float64(gammaDensity(x, a) * f)
}
