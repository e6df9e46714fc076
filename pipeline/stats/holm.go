package stats

import (
	"math"
	"sort"
)

// Holm returns p values adjusted for testing them together, by Holm's step-down rule
// (Holm 1979, Scandinavian Journal of Statistics 6:65): the i-th smallest of m is
// multiplied by m-i+1, made monotone and held to 1. A NaN stays NaN and does not count.
func Holm(p []float64) []float64 {
	out := make([]float64, len(p))
	var order []int
	for i, v := range p {
		out[i] = math.NaN()
		if !math.IsNaN(v) {
			order = append(order, i)
		}
	}
	sort.SliceStable(order, func(a, b int) bool { return p[order[a]] < p[order[b]] })
	largest := 0.0
	for k, i := range order {
		largest = math.Max(largest, math.Min(1, float64(float64(len(order)-k)*p[i])))
		out[i] = largest
	}
	return out
}
