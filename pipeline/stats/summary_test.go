package stats

import (
	"fmt"
	"math"
	"testing"
)

// NIST StRD univariate: NumAcc1 (mean 10000002, SD 1) and NumAcc4 (mean 10000000.2, SD 0.1).
func TestUnivariateStress(t *testing.T) {
	one := []float64{10000001, 10000003, 10000002}
	near(t, "NumAcc1 mean", Mean(one), 10000002, 0)
	near(t, "NumAcc1 SD", SD(one), 1, 0)
	four := []float64{10000000.2}
	for range 500 {
		four = append(four, 10000000.1, 10000000.3)
	}
	near(t, "NumAcc4 mean", Mean(four), 10000000.2, 2e-16)
	near(t, "NumAcc4 SD", SD(four), 0.1, 1e-7) // the decimals are not binary numbers
}

// The mean of 1e12, 1e12 and the next number is not a number itself; the variance does not
// mind: with u = 2^-13 it is u²/3.
func TestVarianceBesideRounding(t *testing.T) {
	near(t, "variance", Variance([]float64{1e12, 1e12, 1e12 + 0x1p-13}), 0x1p-26/3, 1e-15)
}

func TestMeanAndVarianceOfFew(t *testing.T) {
	for _, c := range []struct {
		x              []float64
		mean, variance float64
	}{
		{nil, nan, nan}, {[]float64{3}, 3, nan}, {[]float64{1, 2}, 1.5, 0.5}, {[]float64{5, 5, 5}, 5, 0},
		{[]float64{1, inf}, inf, nan}, {[]float64{1, nan}, nan, nan}, {[]float64{1e16, 1, -1e16}, 1. / 3, 1e32},
	} {
		near(t, fmt.Sprint("mean of ", c.x), Mean(c.x), c.mean, 1e-15)
		near(t, fmt.Sprint("variance of ", c.x), Variance(c.x), c.variance, 1e-15)
	}
}

// Type 7 of Hyndman & Fan (1996), values from its definition.
func TestQuantile(t *testing.T) {
	x := []float64{9, 2, 5, 3}
	for _, c := range [][2]float64{
		{0, 2}, {0.25, 2.75}, {0.5, 4}, {0.75, 6}, {0.9, 7.8}, {1, 9}, {-0.1, nan}, {1.1, nan}, {nan, nan},
	} {
		near(t, fmt.Sprintf("Quantile(%g)", c[0]), Quantile(x, c[0]), c[1], 1e-15)
	}
	if x[0] != 9 {
		t.Error("Quantile reordered its argument")
	}
	for want, x := range map[float64][]float64{4: {7, 4, 1}, 5: {5}} {
		near(t, fmt.Sprint("median of ", x), Median(x), want, 0)
	}
	if !math.IsNaN(Median(nil)) || !math.IsNaN(Median([]float64{1, nan, 2})) {
		t.Error("median of nothing or of a missing value is a number")
	}
	near(t, "median below an infinity", Median([]float64{inf, 2, 1}), 2, 0)
	near(t, "median beside an infinity", Median([]float64{inf, 2}), inf, 0)
	near(t, "median of equal infinities", Median([]float64{inf, inf}), inf, 0)
}
