package decide

import (
	"slices"
	"testing"

	"soletrial/pipeline/stats"
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
		(&lines{slope: c.slope}).addShares(c.height, got)
		for i := range got {
			within(t, c.name, got[i], c.want[i], 1e-6)
		}
	}
}

// Four points drawn at once have the heights of each drawn alone, to the last bit.
func TestFourPointsAtOnce(t *testing.T) {
	const dims = 5
	chol := stats.Cholesky{N: dims, L: make([]float64, dims*dims)}
	mean := make([]float64, dims)
	for i := range dims {
		mean[i] = float64(i) / 7
		for j := range dims {
			chol.L[i*dims+j] = float64(1+i*dims+j) / 11
		}
	}
	z, together, alone := kronecker(dims-1, 16), newLines(dims+1), newLines(dims+1)
	together.drawFour(mean, chol, z, 3)
	for i, heights := range together.heights {
		alone.draw(mean, chol, z, 3+i)
		if !slices.Equal(heights, alone.heights[0]) {
			t.Errorf("point %d: %v, alone %v", 3+i, heights, alone.heights[0])
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
