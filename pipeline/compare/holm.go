package compare

import (
	"soletrial/pipeline/stats"
	"soletrial/pipeline/units"
)

// holm fills the adjusted p values of a family of comparisons (Holm 1979), over
// those that have one.
func holm(family []Comparison) {
	var at []int
	var p []float64
	for i, c := range family {
		if units.Known(c.P) {
			at, p = append(at, i), append(p, c.P)
		}
	}
	for k, adjusted := range stats.Holm(p) {
		family[at[k]].PAdjusted = adjusted
	}
}
