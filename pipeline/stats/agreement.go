package stats

import "math"

// Agreement is the analysis of differences between two ways of measuring the same thing.
type Agreement struct {
	// Bias is the mean difference, SD the standard deviation of the differences.
	Bias Estimate
	SD   float64
	// Lower and Upper are the limits of agreement, mean ∓ z SD, each with its standard error.
	Lower, Upper Estimate
}

// BlandAltman returns the limits between which the given share of differences is expected
// (0.95: z = 1.96), with the standard error SD sqrt(3/n) of the limits (Bland & Altman
// 1986, Lancet i:307). Fewer than two differences give NaN limits.
func BlandAltman(d []float64, share float64) Agreement {
	a := Agreement{Bias: MeanOf(d), SD: SD(d)}
	half := float64(NormalQuantile((1+share)/2) * a.SD)
	limit := a.Bias
	limit.SE = float64(a.SD * math.Sqrt(3/float64(len(d))))
	a.Lower, a.Upper = limit, limit
	a.Lower.Value -= half
	a.Upper.Value += half
	return a
}
