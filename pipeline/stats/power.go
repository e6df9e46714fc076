package stats

import "math"

// Design says how a two-sided t test gets its noncentrality and degrees of freedom from a
// number n, which may be fractional.
type Design int

const (
	// Pairs: n pairs, effect in units of the standard deviation of differences.
	Pairs Design = iota
	// TwoGroups: n in each of two groups, effect in units of the common standard deviation.
	TwoGroups
)

func (d Design) noncentrality(n, effect float64) (delta, df float64) {
	if d == TwoGroups {
		return float64(effect * math.Sqrt(n/2)), float64(2*n) - 2
	}
	return float64(effect * math.Sqrt(n)), n - 1
}

// Power returns the probability that the two-sided t test at level alpha rejects, counting
// rejections on the wrong side too (the strict definition). n below 2 gives NaN.
func Power(d Design, n, effect, alpha float64) float64 {
	if !(n >= 2) || !(alpha > 0 && alpha < 1) || effect-effect != 0 {
		return math.NaN()
	}
	delta, df := d.noncentrality(n, effect)
	t := -StudentQuantile(alpha/2, df)
	return NoncentralTTail(t, df, delta) + NoncentralTTail(t, df, -delta)
}

// NeededN returns the smallest n, not rounded, with the given power: round up for a plan.
// It is 2 where two are already enough, +Inf for no effect, NaN for a power not above
// alpha or not below 1.
func NeededN(d Design, effect, power, alpha float64) float64 {
	switch {
	case !(alpha > 0 && power > alpha && power < 1) || effect-effect != 0:
		return math.NaN()
	case effect == 0:
		return math.Inf(1)
	}
	short := func(n float64) float64 { return Power(d, n, effect, alpha) - power }
	hi := 2.0
	for short(hi) < 0 {
		if hi > 1e9 {
			return math.Inf(1)
		}
		hi = float64(2 * hi)
	}
	if hi == 2 {
		return 2
	}
	return findRoot(short, hi/2, hi)
}

// DetectableEffect returns the effect the test finds with the given power, NaN for n below
// 2 or a power not above alpha or not below 1.
func DetectableEffect(d Design, n, power, alpha float64) float64 {
	if !(n >= 2) || !(alpha > 0 && power > alpha && power < 1) {
		return math.NaN()
	}
	short := func(e float64) float64 { return Power(d, n, e, alpha) - power }
	hi := 1.0
	for short(hi) < 0 && hi < 1e12 {
		hi = float64(2 * hi)
	}
	return findRoot(short, 0, hi)
}
