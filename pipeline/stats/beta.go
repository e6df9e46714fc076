package stats

import "math"

// betaLower is I_x(a,b) with y = 1-x given separately, because in a tail one of
// the two is known far more precisely than one minus the other.
func betaLower(x, y, a, b float64) float64 {
	switch {
	case x <= 0:
		return 0
	case y <= 0:
		return 1
	case float64(y*(a+b+2)) > b+1:
		return betaFraction(x, y, a, b)
	}
	return 1 - betaFraction(y, x, b, a)
}

// betaDensity returns x^a y^b / B(a,b) for x+y = 1. Each factor is compared with
// its value at the mean a/(a+b), so nothing large cancels:
//
//	sqrt(ab/(2π(a+b))) exp(δ(a+b)-δ(a)-δ(b) - a g(x/x0) - b g(y/y0)), g(1+u) = u - ln(1+u)
//
// with δ Stirling's error (Loader 2000, "Fast and accurate computation of binomial
// probabilities").
func betaDensity(x, y, a, b float64) float64 {
	n := a + b
	d := float64(x*b) - float64(y*a)
	e := stirlingError(n) - stirlingError(a) - stirlingError(b)
	e -= float64(a * logDeficit(d/a, float64(x/a*n)))
	e -= float64(b * logDeficit(-d/b, float64(y/b*n)))
	return float64(math.Sqrt(float64(a/n*b)) / sqrt2Pi * Exp(e))
}

// betaFraction evaluates I_x(a,b) by the even part of its continued fraction
// (Didonato & Morris 1992, ACM TOMS 18:360, algorithm 708) with Lentz's method
// (Lentz 1976; Thompson & Barnett 1986). It converges fast for
// x < (a+1)/(a+b+2), in about sqrt(max(a,b)) steps at worst.
func betaFraction(x, y, a, b float64) float64 {
	const tiny = 1e-300
	start := float64(a*y) - float64(b*x) + 1
	f := float64(a / (a + 1) * start)
	if f == 0 {
		f = tiny
	}
	c, d := f, 0.0
	for n := 1.0; n < 1e6; n++ {
		m := a + float64(2*n)
		an := float64((a + n - 1) / (m - 1) * ((a + b + n - 1) / (m - 1)) * float64(n*(b-n)) * float64(x*x))
		bn := n + float64(n*(b-n))*x/(m-1) + float64((a+n)/(m+1)*(start+float64(n*(2-x))))
		d = guardZero(bn+float64(an*d), tiny)
		c = guardZero(bn+an/c, tiny)
		d = 1 / d
		step := float64(c * d)
		f = float64(f * step)
		if math.Abs(step-1) < 1e-16 {
			break
		}
	}
	return betaDensity(x, y, a, b) / f
}

func guardZero(v, tiny float64) float64 {
	if math.Abs(v) < tiny {
		return tiny
	}
	return v
}
