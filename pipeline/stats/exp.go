package stats

import "math"

// ln 2 in two parts: the first has enough trailing zero bits that its product
// with an exponent is exact.
const (
	ln2Hi = 6.93147180369123816490e-01
	ln2Lo = 1.90821492927058770002e-10
)

// Exp returns e**x with an error below one unit in the last place, the same bits
// on every platform.
//
// Exp(+Inf) = +Inf, Exp(-Inf) = 0, Exp(NaN) = NaN; above 709.78 the result is
// +Inf and below -745.14 it is 0.
//
// Method: x = k ln 2 + r with |r| <= ln(2)/2 and a rational form of e**r by a
// Remez polynomial (FreeBSD msun e_exp.c, Sun Microsystems 1993).
func Exp(x float64) float64 {
	switch {
	case math.IsNaN(x):
		return x
	case x > 7.09782712893383973096e+02:
		return math.Inf(1)
	case x < -7.45133219101941108420e+02:
		return 0
	}
	k := math.Floor(float64(x*1.44269504088896338700) + 0.5)
	hi := x - float64(k*ln2Hi)
	lo := float64(k * ln2Lo)
	r := hi - lo
	c := expRational(r)
	y := 1 - ((lo - float64(r*c)/(2-c)) - hi)
	return math.Ldexp(y, int(k))
}

// Expm1 returns e**x - 1 without loss of digits near zero; special cases as [Exp].
func Expm1(x float64) float64 {
	if math.Abs(x) > 0.34 {
		return Exp(x) - 1
	}
	c := expRational(x)
	return x + float64(x*c)/(2-c)
}

// expRational returns c such that e**r = 1 + r + r c/(2-c) for |r| <= ln(2)/2.
func expRational(r float64) float64 {
	t := float64(r * r)
	s := 0.0
	for _, p := range [...]float64{4.13813679705723846039e-08, -1.65339022054652515390e-06,
		6.61375632143793436117e-05, -2.77777777770155933842e-03, 1.66666666666666657415e-01} {
		s = float64(s*t) + p
	}
	return r - float64(t*s)
}
