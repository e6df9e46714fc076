package stats

import (
	"math"
	"slices"
)

// Holm returns the p values adjusted by Holm's step-down method (Holm 1979, Scand J
// Stat 6:65), in the order given: reject at level a where the adjusted value is at
// most a and the chance of any false rejection stays below a. NaN stays NaN and does
// not count as a test. The argument is left alone.
func Holm(p []float64) []float64 {
	adjusted := make([]float64, len(p))
	var order []int
	for i, v := range p {
		adjusted[i] = v
		if !math.IsNaN(v) {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case p[a] < p[b]:
			return -1
		case p[a] > p[b]:
			return 1
		}
		return 0
	})
	largest := 0.0
	for k, i := range order {
		largest = math.Max(largest, math.Min(1, float64(float64(len(order)-k)*p[i])))
		adjusted[i] = largest
	}
	return adjusted
}
