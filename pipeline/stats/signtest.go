package stats

import "math"

// SignCount is the sign test of differences of pairs: how many of those that are not zero
// are positive.
type SignCount struct {
	Positive, N int
	// P is the exact two-sided binomial p value, NaN without any nonzero difference.
	P float64
}

// SignTest counts signs; zeros are dropped.
func SignTest(d []float64) SignCount {
	var s SignCount
	for _, v := range d {
		if v > 0 {
			s.Positive++
		}
		if v > 0 || v < 0 {
			s.N++
		}
	}
	few := min(s.Positive, s.N-s.Positive)
	s.P = math.Min(1, float64(2*binomialHalfCDF(few, s.N)))
	return s
}

// binomialHalfCDF is P(X <= k) for n > k fair coins, NaN for none: I_{1/2}(n-k, k+1) (DLMF 8.17.5).
func binomialHalfCDF(k, n int) float64 {
	return IncompleteBeta(0.5, float64(n-k), float64(k+1))
}

// Interval returns the exact confidence interval of the probability of a positive sign
// (Clopper & Pearson 1934), NaN without any nonzero difference.
func (s SignCount) Interval(level float64) (lo, hi float64) {
	if s.N == 0 || !(level > 0 && level < 1) {
		return math.NaN(), math.NaN()
	}
	a, x, n := (1-level)/2, float64(s.Positive), float64(s.N)
	hi = 1
	if s.Positive > 0 {
		lo = findRoot(func(p float64) float64 { return IncompleteBeta(p, x, n-x+1) - a }, 0, 1)
	}
	if s.Positive < s.N {
		hi = findRoot(func(p float64) float64 { return a - IncompleteBeta(1-p, n-x, x+1) }, 0, 1)
	}
	return lo, hi
}
