package stats

import (
	"math"
	"slices"
)

// HodgesLehmannEstimate is the median of the Walsh averages with a distribution-free
// interval.
type HodgesLehmannEstimate struct {
	Value, Lo, Hi float64
	// Level is the confidence the interval achieves; it falls short of the level asked for
	// when there are too few values for it.
	Level float64
}

// HodgesLehmann returns the median of all (d[i]+d[j])/2, i <= j, and the exact interval
// whose ends are order statistics of the same averages, from the signed rank distribution
// without ties (Hodges & Lehmann 1963; Hollander & Wolfe 1973, sections 3.2 and 3.4). No
// values, or values that are not finite, give NaN.
func HodgesLehmann(d []float64, level float64) HodgesLehmannEstimate {
	n := len(d)
	if n == 0 || firstNotFinite(d) >= 0 || !(level > 0 && level < 1) {
		return HodgesLehmannEstimate{math.NaN(), math.NaN(), math.NaN(), math.NaN()}
	}
	var walsh []float64
	for i, a := range d {
		for _, b := range d[i:] {
			walsh = append(walsh, (a+b)/2)
		}
	}
	slices.Sort(walsh)
	k, below := signedRankQuantile(n, (1-level)/2)
	return HodgesLehmannEstimate{
		Value: sortedQuantile(walsh, 0.5),
		Lo:    walsh[k-1], Hi: walsh[len(walsh)-k],
		Level: 1 - float64(2*below),
	}
}

// signedRankQuantile returns the smallest k >= 1 with P(V <= k) >= p for n untied values,
// and P(V <= k-1). Counts are kept as probabilities, so n may be large.
func signedRankQuantile(n int, p float64) (k int, below float64) {
	f := make([]float64, n*(n+1)/2+1)
	f[0] = 1
	for r := 1; r <= n; r++ {
		for i := r * (r + 1) / 2; i >= 0; i-- {
			f[i] = float64(f[i] / 2)
			if i >= r {
				f[i] += float64(f[i-r] / 2)
			}
		}
	}
	below = f[0]
	for k = 1; below+f[k] < p; k++ {
		below += f[k]
	}
	return k, below
}
