package stats

import "math"

// findRoot returns x in [a, b] with f(x) = 0, where f(a) and f(b) differ in sign (or
// one of them is zero). It stops when the bracket is as narrow as float64 allows.
// When the signs agree it returns the end with the smaller |f|.
//
// Method: Chandrupatla (1997), inverse quadratic steps where they are safe and
// bisection elsewhere.
func findRoot(f func(float64) float64, a, b float64) float64 {
	fa, fb := f(a), f(b)
	// An end that is a root, or no change of sign: the end nearer to one.
	if fa == 0 || (fb != 0 && (fa > 0) == (fb > 0) && math.Abs(fa) < math.Abs(fb)) {
		return a
	}
	if fb == 0 || (fa > 0) == (fb > 0) {
		return b
	}
	var c, fc float64
	t := 0.5
	// Bisection at first, then steps by [rootStep] where they stay inside.
	for range 400 {
		x := a + float64(t*(b-a))
		fx := f(x)
		if (fx > 0) == (fa > 0) {
			c, fc = a, fa
		} else {
			c, fc = b, fb
			b, fb = a, fa
		}
		a, fa = x, fx
		best := a
		if math.Abs(fb) < math.Abs(fa) {
			best = b
		}
		// Done where the bracket is as narrow as numbers allow.
		limit := math.Ldexp(math.Abs(best), -52) / math.Abs(b-a)
		if fx == 0 || limit >= 0.5 || a == b {
			return best
		}
		t = math.Min(1-limit, math.Max(limit, rootStep(a, b, c, fa, fb, fc)))
	}
	return a
}

// rootStep is the next fraction of [a, b] to try.
func rootStep(a, b, c, fa, fb, fc float64) float64 {
	xi := (a - b) / (c - b)
	phi := (fa - fb) / (fc - fb)
	if !(float64(phi*phi) < xi && float64((1-phi)*(1-phi)) < 1-xi) {
		return 0.5
	}
	return float64(fa/(fb-fa)*(fc/(fb-fc))) + float64((c-a)/(b-a)*(fa/(fc-fa))*(fb/(fc-fb)))
}
