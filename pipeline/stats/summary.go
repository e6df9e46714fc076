package stats

import (
	"math"
	"slices"
)

// Mean returns the arithmetic mean, summed from index 0 upward with a compensated
// sum, or NaN for no values.
func Mean(x []float64) float64 {
	var s exactSum
	for _, v := range x {
		s.add(v)
	}
	if m := s.value() / float64(len(x)); !math.IsNaN(m) {
		return m
	}
	return plainMean(x)
}

// plainMean serves infinite or missing entries, for which a compensated sum is
// undefined even where the mean is not.
func plainMean(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s / float64(len(x))
}

// Variance returns the sample variance with divisor n-1, about the mean, summed
// from index 0 upward, or NaN for fewer than two values. The squared deviations are
// corrected for the rounding of the mean (Chan, Golub & LeVeque 1983).
func Variance(x []float64) float64 {
	if len(x) < 2 {
		return math.NaN()
	}
	m := Mean(x)
	var ss, sd exactSum
	for _, v := range x {
		d := v - m
		ss.addProduct(d, d)
		sd.add(d)
	}
	n := float64(len(x))
	return math.Max(0, ss.value()-float64(sd.value()*sd.value())/n) / (n - 1)
}

// SD returns the square root of [Variance].
func SD(x []float64) float64 { return math.Sqrt(Variance(x)) }

// Median returns the middle value, or the mean of the two middle values, or NaN for
// no values or when a value is NaN.
func Median(x []float64) float64 { return Quantile(x, 0.5) }

// Quantile returns the p-quantile by linear interpolation of the order statistics at
// (n-1)p, Hyndman and Fan's definition 7 (1996, The American Statistician 50:361).
// It is NaN for no values, when a value is NaN, or for p outside [0, 1]. x keeps its
// order.
func Quantile(x []float64, p float64) float64 {
	if len(x) == 0 || !(p >= 0 && p <= 1) || slices.ContainsFunc(x, math.IsNaN) {
		return math.NaN()
	}
	return sortedQuantile(slices.Sorted(slices.Values(x)), p)
}

// sortedQuantile is [Quantile] of values already in ascending order, at least one.
func sortedQuantile(s []float64, p float64) float64 {
	h := float64(float64(len(s)-1) * p)
	i := int(h)
	f := h - float64(i)
	if f == 0 || s[i] == s[i+1] {
		return s[i] // also where the next is missing or infinite
	}
	return float64((1-f)*s[i]) + float64(f*s[i+1])
}
