package stats

import "math"

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

// StandardisedMean returns the mean divided by the standard deviation (Cohen's dz for
// differences of pairs).
func StandardisedMean(d []float64) float64 { return Mean(d) / SD(d) }

// Equivalence is the result of two one-sided tests.
type Equivalence struct {
	// TLower tests against -margin from above, TUpper against +margin from below.
	TLower, PLower, TUpper, PUpper float64
	// P is the larger of the two one-sided p values.
	P float64
	// Lo and Hi bound the interval of level 1-2α: equivalent means inside ±margin.
	Lo, Hi     float64
	Equivalent bool
}

// TOST tests whether the estimated quantity lies within ±margin by two one-sided t tests
// at level alpha (Schuirmann 1987).
func TOST(e Estimate, margin, alpha float64) Equivalence {
	r := Equivalence{TLower: (e.Value + margin) / e.SE, TUpper: (e.Value - margin) / e.SE}
	r.PLower, r.PUpper = StudentTail(r.TLower, e.DF), StudentTail(-r.TUpper, e.DF)
	r.P = math.Max(r.PLower, r.PUpper)
	r.Lo, r.Hi = e.Interval(1 - float64(2*alpha))
	r.Equivalent = r.P < alpha
	return r
}
