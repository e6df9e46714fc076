package stats

import "math"

// Log returns the natural logarithm of x with an error below one unit in the last
// place, the same bits on every platform.
//
// Log(+Inf) = +Inf, Log(0) = -Inf, Log(x<0) = NaN, Log(NaN) = NaN.
//
// Method: x = 2**k (1+f) with sqrt(1/2) <= 1+f < sqrt(2), s = f/(2+f), and
// ln(1+f) = f - f²/2 + s (f²/2 + R(s²)) (FreeBSD msun e_log.c, Sun Microsystems 1993).
func Log(x float64) float64 {
	switch {
	case math.IsNaN(x) || math.IsInf(x, 1):
		return x
	case x < 0:
		return math.NaN()
	case x == 0:
		return math.Inf(-1)
	}
	f, k := logReduce(x)
	s := f / (2 + f)
	half := float64(0.5 * float64(f*f))
	t := float64(s*(half+logRemainder(s))) + float64(k*ln2Lo)
	return float64(k*ln2Hi) - ((half - t) - f)
}

// logReduce returns f and k with x = 2**k (1+f), sqrt(1/2) <= 1+f < sqrt(2).
func logReduce(x float64) (f, k float64) {
	m, e := math.Frexp(x)
	if m < math.Sqrt2/2 {
		m = float64(m * 2)
		e--
	}
	return m - 1, float64(e)
}

// logRemainder returns R with ln((1+s)/(1-s)) = 2s + s R, for |s| <= 0.1716.
func logRemainder(s float64) float64 {
	z := float64(s * s)
	r := 0.0
	for _, c := range [...]float64{1.479819860511658591e-01, 1.531383769920937332e-01,
		1.818357216161805012e-01, 2.222219843214978396e-01, 2.857142874366239149e-01,
		3.999999999940941908e-01, 6.666666666666735130e-01} {
		r = float64(z * (c + r))
	}
	return r
}

// Log1p returns ln(1+x) without loss of digits near zero.
// Log1p(-1) = -Inf, Log1p(x<-1) = NaN.
func Log1p(x float64) float64 {
	if math.Abs(x) > 0.34 {
		return Log(1 + x)
	}
	return x - logDeficit(x, 1+x)
}

// logDeficit returns u - ln(1+u) >= 0 with full relative precision near u = 0.
// ratio is 1+u, which the caller may know more precisely than u when u is near -1.
func logDeficit(u, ratio float64) float64 {
	if math.Abs(u) > 0.34 {
		return u - Log(ratio)
	}
	// ln(1+u) = 2s + sR with s = u/(2+u), and u - 2s = u s.
	s := u / (2 + u)
	return float64(s * (u - atanhRemainder(s)))
}

// atanhRemainder returns R with ln((1+s)/(1-s)) = 2s + s R by its power series,
// 2 s²/3 + 2 s⁴/5 + ..., for |s| <= 0.21.
func atanhRemainder(s float64) float64 {
	z := float64(s * s)
	r := 0.0
	for k := 25; k >= 3; k -= 2 {
		r = float64(z * (2/float64(k) + r))
	}
	return r
}
