package decide

import (
	"math"

	"soletrial/pipeline/stats"
)

// The integrals over the spreads use the trapezoidal rule on a line stretched by sinh, which
// converges geometrically for smooth integrands (Trefethen & Weideman 2014). τ and ω
// enter by their squares only, so the rule may start at 0, as half of an even function.

// grid says how fine the rule is: steps of the stretched line, in standard deviations at the
// mode, and the depth below the peak, as a logarithm, at which it stops.
type grid struct{ sigma, tau, omega, depth float64 }

var grids = [...]grid{
	Exact:  {sigma: 0.36, tau: 0.25, omega: 0.3, depth: 21},
	Coarse: {sigma: 0.8, tau: 0.9, omega: 1, depth: 10},
}

// integrator walks the spreads of a model and collects the posterior's nodes.
type integrator struct {
	g     *given
	grid  grid
	start float64 // a value of ln σ to begin the search from
	peak  float64 // the highest logarithm of a node's mass so far
	nodes []node
	mass  []float64 // logarithms, one for each node
}

// integrate returns the nodes of the posterior with weights that add up to 1.
func integrate(g *given, fine grid) []node {
	in := &integrator{g: g, grid: fine, start: stats.Log(g.prior.BlockSD), peak: math.Inf(-1)}
	if g.d.terms.Runner {
		in.overOmega()
	} else {
		in.overTau(spreads{}, 0)
	}
	// A node that cannot change the tenth digit of anything is left out.
	total, kept := 0.0, in.nodes[:0]
	for i, n := range in.nodes {
		if in.mass[i] > in.peak-in.grid.depth-3 {
			n.weight = stats.Exp(in.mass[i] - in.peak)
			total += n.weight
			kept = append(kept, n)
		}
	}
	for i := range kept {
		kept[i].weight /= total
	}
	return kept
}

// overSigma integrates over ln σ for known τ and ω, adds the nodes and returns the logarithm
// of their mass together. dx is the logarithm of the width that the node of τ and ω stands for.
func (in *integrator) overSigma(at spreads, dx float64) float64 {
	tau, omega := at.tau, at.omega
	mode, sd, _ := in.sigmaMode(tau, omega)
	top, sum := math.Inf(-1), 0.0
	visit := func(u float64) (inside bool) {
		s := mode + float64(sd*sinh(u))
		sigma := stats.Exp(s)
		mass := in.g.logDensity(sigma, tau, omega) + stats.Log(float64(float64(sd*cosh(u))*in.grid.sigma)) + dx
		if mass > in.peak-in.grid.depth-3 {
			at.sigma = sigma
			in.nodes = append(in.nodes, in.g.node(at))
			in.mass = append(in.mass, mass)
			in.peak = math.Max(in.peak, mass)
		}
		top, sum = addLog(top, sum, mass)
		// Variances grow with σ²: the tail must be small beside that too.
		return mass+float64(2*math.Max(0, s-mode)) > top-in.grid.depth
	}
	visit(0)
	for u := in.grid.sigma; visit(u); u += in.grid.sigma {
	}
	for u := -in.grid.sigma; visit(u); u -= in.grid.sigma {
	}
	return top + stats.Log(sum)
}

// addLog adds a mass given by its logarithm to sum, which is in units of e^top.
func addLog(top, sum, mass float64) (float64, float64) {
	if mass <= top {
		return top, sum + stats.Exp(mass-top)
	}
	return mass, float64(sum*stats.Exp(top-mass)) + 1
}

func sinh(u float64) float64 { return (stats.Exp(u) - stats.Exp(-u)) / 2 }
func cosh(u float64) float64 { return (stats.Exp(u) + stats.Exp(-u)) / 2 }

func asinh(x float64) float64 {
	return stats.Log(x + math.Sqrt(1+float64(x*x)))
}

// sigmaMode finds the most likely ln σ for known τ and ω, its standard deviation by the
// curvature there, and the logarithm of the density. It begins where the last search ended.
func (in *integrator) sigmaMode(tau, omega float64) (mode, sd, density float64) {
	const h = 0.05
	f := func(s float64) float64 { return in.g.logDensity(stats.Exp(s), tau, omega) }
	s := in.start
	for range 60 {
		below, here, above := f(s-h), f(s), f(s+h)
		slope, bend := (above-below)/(2*h), (above-here-(here-below))/(h*h)
		if bend >= 0 {
			s += math.Copysign(0.7, slope)
			continue
		}
		step := math.Max(-1, math.Min(1, -slope/bend))
		s, sd, density = s+step, 1/math.Sqrt(-bend), here+math.Abs(float64(slope*step))/2
		if math.Abs(step) < float64(0.1*sd) {
			break
		}
	}
	in.start = s
	return s, sd, density
}

// laplace is the logarithm of the mass over ln σ by a normal approximation, which is good
// enough to place a grid.
func (in *integrator) laplace(tau, omega float64) float64 {
	_, sd, density := in.sigmaMode(tau, omega)
	return density + stats.Log(sd)
}

// overTau integrates over τ for known ω.
func (in *integrator) overTau(at spreads, dx float64) float64 {
	p := locate(in.g.prior.DaySD, func(tau float64) float64 { return in.laplace(tau, at.omega) })
	return p.walk(in.grid.tau, in.grid.depth, func(tau, gap, width float64) float64 {
		at.tau, at.tauGap = tau, gap
		return in.overSigma(at, dx+width)
	})
}

// overOmega integrates over ω and τ. To place the grid of ω, τ is taken at three values
// around its mode.
func (in *integrator) overOmega() {
	half := float64(in.g.prior.RunnerSD / 2)
	of := locate(in.g.prior.DaySD, func(tau float64) float64 { return in.laplace(tau, half) })
	taus := [...]float64{math.Max(0, of.mode-of.sd), of.mode, of.mode + of.sd}
	p := locate(in.g.prior.RunnerSD, func(omega float64) float64 {
		top, sum := math.Inf(-1), 0.0
		for _, tau := range taus {
			top, sum = addLog(top, sum, in.laplace(tau, omega))
		}
		return top + stats.Log(sum)
	})
	p.walk(in.grid.omega, in.grid.depth, func(omega, gap, width float64) float64 {
		return in.overTau(spreads{omega: omega, omegaGap: gap}, width)
	})
}

// hump is where a density on [0, ∞) has its mass: the mode, and the distance at which the
// density has fallen by a standard deviation's worth (half a unit of its logarithm).
type hump struct{ mode, sd float64 }

// locate finds the hump of a density, given by its logarithm, whose prior has the scale.
func locate(scale float64, f func(x float64) float64) hump {
	const finest, steps = -6, 8 // scale/64 to 4 scale
	best, at, zero := math.Inf(-1), -1, f(0)
	values := make([]float64, steps+1)
	for i := range values {
		values[i] = f(math.Ldexp(scale, finest+i))
		if values[i] > best {
			best, at = values[i], i
		}
	}
	if zero >= best {
		best, at = zero, -1
	}
	h := hump{}
	if at >= 0 {
		h.mode = math.Ldexp(scale, finest+at)
		h.mode, best = climb(h.mode, best, f)
	}
	right := fall(h.mode, best, math.Max(h.mode/2, math.Ldexp(scale, finest)), f)
	h.sd = right
	if h.mode > 0 && zero < best-0.5 {
		h.sd = math.Min(right, -fall(h.mode, best, -h.mode/2, f))
	}
	return h
}

// climb moves x to a maximum of f by parabolas over ln x.
func climb(x, fx float64, f func(x float64) float64) (float64, float64) {
	for step := 0.5; step > 0.02; step /= 2 {
		factor := stats.Exp(step)
		below, above := f(x/factor), f(float64(x*factor))
		if bend := above - fx - (fx - below); bend < 0 {
			move := math.Max(-1, math.Min(1, -(above-below)/(2*bend)))
			if y := float64(x * stats.Exp(float64(step*move))); f(y) > fx {
				x = y
				fx = f(y)
			}
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
		if drop > 0.4 && drop < 0.6 {
			return d
		}
		if drop >= 0.6 {
			high = d
		} else {
			low = d
		}
		if high == 0 {
			d = float64(2 * d)
			if x+d < 0 {
				return -x
			}
		} else {
			d = (low + high) / 2
		}
	}
	return d
}

// walk visits the nodes of the rule from the mode outward and down to 0, with the logarithm
// of the width each stands for, until the mass that visit returns is negligible. gap is the
// distance to the next node where x is 0, and 0 elsewhere.
func (h hump) walk(step, depth float64, visit func(x, gap, width float64) float64) float64 {
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
