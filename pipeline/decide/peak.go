package decide

import (
	"math"

	"soletrial/pipeline/stats"
)

// peak is where a density on [0, ∞) has its mass: the mode, and the distance at which the
// density has fallen by a standard deviation's worth (half a unit of its logarithm).
type peak struct{ mode, sd float64 }

// locate finds the peak of a density, given by its logarithm, whose prior has the scale. It
// is looked for roughly: the rule needs to know where its steps go, not more.
func locate(scale float64, f func(x float64) float64) peak {
	const finest, coarsest = -6, 2 // scale/64 to 4 scale
	smallest := math.Ldexp(scale, finest)
	zero := f(0)
	x, best := 0.0, zero
	for i := finest; i <= coarsest; i++ {
		at := math.Ldexp(scale, i)
		value := f(at)
		if value > best {
			x, best = at, value
		} else if value < best-4 {
			break
		}
	}
	if x > 0 {
		x, best = climb(x, best, f)
	}
	h := peak{x, fall(x, best, math.Max(x/2, smallest), f)}
	if x > 0 && zero < best-0.5 {
		h.sd = math.Min(h.sd, -fall(x, best, -x/2, f))
	}
	// Fewer than 100,000 blocks leave a spread wider than a five hundredth of itself. A spike of rounding
	// looks narrower, and the rule would take millions of steps of its width.
	h.sd = math.Max(h.sd, x/512)
	return h
}

// climb moves x towards a maximum of f by parabolas over ln x, with smaller steps where the
// maximum is sharper.
func climb(x, fx float64, f func(x float64) float64) (float64, float64) {
	for step := 0.5; step > 0.01; step /= 4 {
		factor := stats.Exp(step)
		below, above := f(x/factor), f(float64(x*factor))
		bend := above - fx - (fx - below)
		if bend < 0 {
			move := math.Max(-1, math.Min(1, -(above-below)/(2*bend)))
			y := float64(x * stats.Exp(float64(step*move)))
			if fy := f(y); fy > fx {
				x, fx = y, fy
			}
		}
		if bend > -1 {
			break // flat over the whole step
		}
	}
	return x, fx
}

// fall returns the distance from x, in the direction of the first try d, at which f is about
// half a unit below fx.
func fall(x, fx, d float64, f func(x float64) float64) float64 {
	low, high := 0.0, 0.0
	for range 24 {
		drop := fx - f(x+d)
		switch {
		case drop > 0.3 && drop < 0.8:
			return float64(d * math.Sqrt(0.5/drop))
		case drop >= 0.8:
			high = d
		default:
			low = d
		}
		switch {
		case high != 0:
			d = (low + high) / 2
		case x+float64(2*d) < 0:
			return -x
		default:
			d = float64(2 * d)
		}
	}
	return d
}

// walk visits the nodes of the rule from the mode outward and down to 0, with the logarithm
// of the width each stands for, until the mass that visit returns is negligible. gap is the
// distance to the next node where x is 0, and 0 elsewhere.
func (h peak) walk(step, depth float64, visit func(x, gap, width float64) float64) float64 {
	// x = sd sinh(v); the step in v is such that a step in x at the mode is step sd.
	dv := step / math.Sqrt(1+float64(h.mode/h.sd*(h.mode/h.sd)))
	first := math.Round(asinh(h.mode/h.sd) / dv)
	top, sum := math.Inf(-1), 0.0
	try := func(i float64) bool {
		v := float64(i * dv)
		width := float64(float64(h.sd*cosh(v)) * dv)
		gap := 0.0
		if i == 0 {
			gap, width = width, width/2
		}
		mass := visit(float64(h.sd*sinh(v)), gap, stats.Log(width))
		top, sum = addLog(top, sum, mass)
		return mass > top-depth
	}
	try(first)
	for i := first + 1; try(i); i++ {
	}
	for i := first - 1; i >= 0 && try(i); i-- {
	}
	return top + stats.Log(sum)
}
