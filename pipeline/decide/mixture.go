package decide

import (
	"math"
)

// mixture is a mixture of normal distributions.
type mixture struct{ weight, mean, sd []float64 }

// newMixture returns an empty mixture with room for n components.
func newMixture(n int) *mixture {
	room := make([]float64, 3*n)
	return &mixture{room[:0:n], room[n : n : 2*n], room[2*n : 2*n : 3*n]}
}

func (m *mixture) add(weight, mean, variance float64) {
	m.weight, m.mean = append(m.weight, weight), append(m.mean, mean)
	m.sd = append(m.sd, math.Sqrt(math.Max(variance, 0)))
}

// moments returns the mean and the standard deviation.
func (m *mixture) moments() (mean, sd float64) {
	for i, w := range m.weight {
		mean += float64(w * m.mean[i])
	}
	variance := 0.0
	for i, w := range m.weight {
		d := m.mean[i] - mean
		variance += float64(w * (float64(d*d) + float64(m.sd[i]*m.sd[i])))
	}
	return mean, math.Sqrt(variance)
}

// cdf returns P(X < x) and the density there. A component without spread is a step whose
// middle is at its mean.
func (m *mixture) cdf(table []normalEntry, x float64) (p, density float64) {
	for i, w := range m.weight {
		sd := m.sd[i]
		if sd == 0 {
			p += float64(w * step(x-m.mean[i]))
			continue
		}
		below, at := normalAt(table, (x-m.mean[i])/sd)
		p += float64(w * below)
		density += float64(w * at / sd)
	}
	return p, density
}

// below returns P(X < x), as [mixture.cdf] does.
func (m *mixture) below(table []normalEntry, x float64) (p float64) {
	for i, w := range m.weight {
		sd := m.sd[i]
		if sd == 0 {
			p += float64(w * step(x-m.mean[i]))
			continue
		}
		below, _ := normalAt(table, (x-m.mean[i])/sd)
		p += float64(w * below)
	}
	return p
}

func step(d float64) float64 {
	switch {
	case d > 0:
		return 1
	case d < 0:
		return 0
	}
	return 0.5
}

// quantile returns x with P(X < x) = p.
func (m *mixture) quantile(table []normalEntry, p, mean, sd float64) float64 {
	start := mean + float64(sd*normalQuantile(table, p))
	return solve(p, start, sd, func(x float64) (float64, float64) { return m.cdf(table, x) })
}

// apart returns the smallest a with P(|X| < a) = p.
func (m *mixture) apart(table []normalEntry, p, mean, sd float64) float64 {
	within := func(a float64) (float64, float64) {
		above, densityAbove := m.cdf(table, a)
		below, densityBelow := m.cdf(table, -a)
		return above - below, densityAbove + densityBelow
	}
	start := math.Abs(mean) + float64(sd*normalQuantile(table, p))
	return math.Abs(solve(p, start, sd, within))
}

// solve returns x with f(x) = p for an increasing f that comes with its derivative, from a
// start and the scale on which f changes: Newton's steps within a shrinking bracket.
func solve(p, x, scale float64, f func(x float64) (value, slope float64)) float64 {
	low, high := math.Inf(-1), math.Inf(1)
	for range 80 {
		value, slope := f(x)
		off := value - p
		if math.Abs(off) < 1e-9 {
			return x
		}
		if off < 0 {
			low = x
		} else {
			high = x
		}
		next := x - off/slope
		move := math.Abs(next - x)
		if !(next > low && next < high) || move > float64(4*scale) {
			next, move = between(low, high, scale), scale
		}
		// A step of Newton's leaves about its square, in units of the scale.
		if move <= float64(1e-5*scale) || high-low <= float64(1e-9*scale) {
			return next
		}
		x = next
	}
	return x
}

// between returns a point inside a bracket that may still be open at one side.
func between(low, high, scale float64) float64 {
	switch {
	case math.IsInf(low, -1):
		return high - float64(4*scale)
	case math.IsInf(high, 1):
		return low + float64(4*scale)
	}
	return (low + high) / 2
}
