package decide

import (
	"slices"
	"testing"
)

// The share of each straight line in the highest of them, with tables of the normal
// distribution: 15.8655 % lie above 1 standard deviation, and half above 0.
func TestSharesOfTheHighestLine(t *testing.T) {
	for _, c := range []struct {
		name          string
		height, slope []float64
		want          []float64
	}{
		{"falling lines begin", []float64{0, 0}, []float64{0, -1}, []float64{0.5, 0.5}},
		{"one on each side", []float64{0, -1, -1}, []float64{0, 1, -1}, []float64{0.682690, 0.158655, 0.158655}},
		{"of parallel lines the upper", []float64{0, -2, 0}, []float64{0, -1, -1}, []float64{0.5, 0, 0.5}},
		{"the steepest of three in one point", []float64{0, 0, 0}, []float64{0, 1, 2}, []float64{0.5, 0, 0.5}},
	} {
		got := make([]float64, len(c.want))
		lines{c.height, c.slope}.addShares(got)
		for i := range got {
			within(t, c.name, got[i], c.want[i], 1e-6)
		}
	}
}

// Equally likely shoes keep their order, and no more of them are named than hold a sure chance.
func TestFewestShoes(t *testing.T) {
	for _, c := range []struct {
		order   []int
		chances []float64
		want    []int
	}{
		{[]int{1, 0, 2}, []float64{0.49, 0.49, 0.02}, []int{1, 0}},
		{[]int{0, 1, 2}, []float64{0.49, 0.49, 0.02}, []int{0, 1}},
		{[]int{0, 1, 2}, []float64{0.01, 0.98, 0.01}, []int{1}},
		{[]int{0, 1, 2}, []float64{0.2, 0.3, 0.5}, []int{2, 1, 0}},
	} {
		if got := fewest(c.order, c.chances); !slices.Equal(got, c.want) {
			t.Errorf("%v of %v: %v, want %v", c.order, c.chances, got, c.want)
		}
	}
}
