package stats

import "math"

// Estimate is a number with its uncertainty.
type Estimate struct {
	// Value is the estimate, NaN when not estimable.
	Value float64
	// SE is its standard error, NaN when there are no residual degrees of freedom.
	SE float64
	// DF is the degrees of freedom of SE; 0 when there are none.
	DF float64
	// Estimable is false when the data say nothing about the quantity.
	Estimable bool
}

// notEstimable is what the data say nothing about.
func notEstimable() Estimate { return Estimate{Value: math.NaN(), SE: math.NaN()} }

// T returns Value/SE.
func (e Estimate) T() float64 { return e.Value / e.SE }

// P returns the two-sided p value of Value = 0 by Student's t with DF degrees of
// freedom, NaN when there is none.
func (e Estimate) P() float64 { return StudentTwoSided(e.T(), e.DF) }

// Interval returns the two-sided confidence interval at the given level (0.95 for
// 95 %), NaN to NaN when there is none.
func (e Estimate) Interval(level float64) (lo, hi float64) {
	h := float64(StudentQuantile((1+level)/2, e.DF) * e.SE)
	return e.Value - h, e.Value + h
}

// MeanOf returns the mean of independent values, such as differences of pairs, with the
// standard error SD/√n and n-1 degrees of freedom: the one-sample or paired t (Student
// 1908). One value has no standard error; none is not estimable.
func MeanOf(d []float64) Estimate {
	n := float64(len(d))
	if n == 0 || firstNotFinite(d) >= 0 {
		return notEstimable()
	}
	return Estimate{Value: Mean(d), SE: SD(d) / math.Sqrt(n), DF: n - 1, Estimable: true}
}
