package stats

import "math"

// Lag1 returns the lag-1 autocorrelation of a series: the sum of products of successive
// deviations from the mean over the sum of their squares (Box & Jenkins 1970). It is NaN
// for fewer than three values, a constant series or values that are not finite.
func Lag1(x []float64) float64 {
	if len(x) < 3 || firstNotFinite(x) >= 0 {
		return math.NaN()
	}
	m := Mean(x)
	top, bottom := 0.0, 0.0
	for i, v := range x {
		bottom += float64((v - m) * (v - m))
		if i > 0 {
			top += float64((x[i-1] - m) * (v - m))
		}
	}
	if bottom == 0 {
		return math.NaN()
	}
	return top / bottom
}

// EffectiveN returns how many independent values a series of n with lag-1 autocorrelation
// rho (first-order autoregressive) is worth for its mean:
//
//	n / (1 + 2 Σ (1-k/n) rho^k),  k = 1..n-1
//
// rho outside (-1, 1) or n < 1 gives NaN.
func EffectiveN(n int, rho float64) float64 {
	if n < 1 || !(rho > -1 && rho < 1) {
		return math.NaN()
	}
	size := float64(n)
	sum, power := 0.0, 1.0
	for k := 1; k < n && power != 0; k++ {
		power = float64(power * rho)
		sum += float64((1 - float64(k)/size) * power)
	}
	return size / (1 + float64(2*sum))
}
