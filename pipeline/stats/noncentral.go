package stats

import "math"

// NoncentralTTail returns P(T >= t) for Student's t with df degrees of freedom and
// noncentrality delta, to about 1e-13 absolute.
//
// T = (Z + delta)/S with S² chi-square over df, so
//
//	P(T >= t) = ∫ P(Z >= t s - delta) f(s) ds
//
// taken over ln s by the trapezoidal rule, which converges geometrically for an analytic
// integrand that vanishes at both ends (Trefethen & Weideman 2014). df = +Inf is normal;
// other arguments outside their range give NaN.
func NoncentralTTail(t, df, delta float64) float64 {
	switch {
	case math.IsNaN(t) || !(df > 0) || delta-delta != 0:
		return math.NaN()
	case math.IsInf(t, 0) || math.IsInf(df, 1):
		return normalTail(t - delta)
	}
	spread := math.Sqrt(40 / df)
	lo, hi := -40.5/df-spread, spread
	step := 0.5 / math.Sqrt(float64(2*df)+float64((math.Abs(delta)+4)*(math.Abs(delta)+4)))
	n := math.Ceil((hi - lo) / step)
	step = (hi - lo) / n
	sum := 0.0
	for i := range int(n) + 1 {
		w := lo + float64(float64(i)*step)
		s := Exp(w)
		f := Exp(float64(df * (w - float64((float64(s*s)-1)/2))))
		sum += float64(f * normalTail(float64(t*s)-delta))
	}
	return float64(sum * step * math.Sqrt(df/math.Pi) * Exp(-stirlingError(df/2)))
}

// NoncentralTCDF returns P(T <= t), see [NoncentralTTail].
func NoncentralTCDF(t, df, delta float64) float64 { return NoncentralTTail(-t, df, -delta) }
