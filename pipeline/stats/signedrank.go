package stats

import (
	"cmp"
	"math"
	"slices"
)

// tieTolerance is how far apart, relative to the largest, two absolute differences may be
// and still be tied: decimal data differ that much by rounding alone.
const tieTolerance = 1e-10

// SignedRankTest is Wilcoxon's signed rank test of differences of pairs.
type SignedRankTest struct {
	// N counts differences that are not zero; zeros are dropped.
	N, Zeros int
	// V is the sum of the ranks of the positive differences, tied ones sharing the mean rank.
	V float64
	// PLower = P(V' <= V), PUpper = P(V' >= V), P twice the smaller and at most 1.
	P, PLower, PUpper float64
	// Exact is false above 200 differences, where the normal approximation with tie and
	// continuity corrections serves.
	Exact bool
}

// SignedRank returns the test from the exact permutation distribution given the ties
// (Wilcoxon 1945; Hollander & Wolfe 1973, section 3.1). NaN or infinite differences give
// NaN p values.
func SignedRank(d []float64) SignedRankTest {
	r := SignedRankTest{P: math.NaN(), PLower: math.NaN(), PUpper: math.NaN(), V: math.NaN()}
	if firstNotFinite(d) >= 0 {
		return r
	}
	ranks, positive := doubledRanks(d)
	r.N, r.Zeros, r.Exact = len(ranks), len(d)-len(ranks), len(ranks) <= 200
	v := 0
	for i, k := range ranks {
		if positive[i] {
			v += k
		}
	}
	r.V = float64(v) / 2
	if r.Exact {
		r.PLower, r.PUpper = signedRankTails(ranks, v)
	} else {
		r.PLower, r.PUpper = signedRankNormal(ranks, v)
	}
	r.P = math.Min(1, float64(2*math.Min(r.PLower, r.PUpper)))
	return r
}

// doubledRanks returns twice the midrank of each nonzero |d|, so that ranks are whole.
func doubledRanks(d []float64) (ranks []int, positive []bool) {
	x := slices.DeleteFunc(slices.Clone(d), func(v float64) bool { return v == 0 })
	slices.SortStableFunc(x, func(a, b float64) int { return cmp.Compare(math.Abs(a), math.Abs(b)) })
	tie := 0.0
	if len(x) > 0 {
		tie = float64(tieTolerance * math.Abs(x[len(x)-1]))
	}
	for first := 0; first < len(x); {
		next := first + 1
		for next < len(x) && math.Abs(x[next])-math.Abs(x[first]) <= tie {
			next++
		}
		for ; len(ranks) < next; positive = append(positive, x[len(ranks)-1] > 0) {
			ranks = append(ranks, first+next+1)
		}
		first = next
	}
	return ranks, positive
}

// signedRankTails returns P(sum <= v) and P(sum >= v) when every rank counts with
// probability one half, by convolution.
func signedRankTails(ranks []int, v int) (lower, upper float64) {
	f := []float64{1}
	for _, k := range ranks {
		next := make([]float64, len(f)+k)
		for i, p := range f {
			next[i] += float64(p / 2)
			next[i+k] += float64(p / 2)
		}
		f = next
	}
	for i, p := range f {
		if i <= v {
			lower += p
		}
		if i >= v {
			upper += p
		}
	}
	return math.Min(1, lower), math.Min(1, upper)
}

// signedRankNormal approximates the same for many ranks; v and ranks are doubled.
func signedRankNormal(ranks []int, v int) (lower, upper float64) {
	sum, squares := 0.0, 0.0
	for _, k := range ranks {
		sum += float64(k)
		squares += float64(float64(k) * float64(k))
	}
	mean, sd := float64(sum/2), math.Sqrt(squares)/2
	return NormalCDF((float64(v) - mean + 1) / sd), NormalCDF((mean - float64(v) + 1) / sd)
}
