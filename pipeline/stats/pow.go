package stats

import "math"

// Pow returns x**y with an error of about one unit in the last place, the same
// bits on every platform.
//
// x**0 = 1 and 1**y = 1 for every x and y, NaN included. A negative x needs an
// integer y, otherwise the result is NaN. 0**y is 0 for y > 0 and +Inf for y < 0
// (the sign of a zero base is ignored).
//
// Method: ln x as an unevaluated sum of two numbers, so that the error of y ln x
// stays below 1e-16 even where the result is near overflow.
func Pow(x, y float64) float64 {
	switch {
	case y == 0 || x == 1:
		return 1
	case math.IsNaN(x) || math.IsNaN(y):
		return math.NaN()
	case x < 0:
		return negativePow(x, y)
	case x == 0 || math.IsInf(x, 1) || math.IsInf(y, 0):
		return limitPow(x, y)
	}
	hi, lo := logPair(x)
	if t := float64(y * hi); math.Abs(t) > 800 {
		return Exp(t)
	}
	p, e := twoProduct(y, hi)
	e += float64(y * lo)
	r := Exp(p)
	if math.IsInf(r, 1) {
		return r
	}
	return r + float64(r*e)
}

func negativePow(x, y float64) float64 {
	if y != math.Floor(y) {
		return math.NaN()
	}
	r := Pow(-x, y)
	if half := y / 2; half != math.Floor(half) {
		return -r
	}
	return r
}

// limitPow serves x = 0, x = +Inf and infinite y.
func limitPow(x, y float64) float64 {
	if (x > 1) == (y > 0) {
		return math.Inf(1)
	}
	return 0
}

// logPair returns ln x as hi+lo, good to about 1e-18 relative, for finite x > 0.
func logPair(x float64) (hi, lo float64) {
	f, k := logReduce(x)
	den, denLo := twoSum(2, f)
	s := f / den
	p, e := twoProduct(s, den)
	sLo := (((f - p) - e) - float64(s*denLo)) / den
	hi, lo = twoSum(float64(k*ln2Hi), float64(2*s))
	lo += float64(2*sLo) + float64(s*logRemainder(s)) + float64(k*ln2Lo)
	return twoSum(hi, lo)
}
