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
	Exact:  {sigma: 0.36, tau: 0.25, omega: 0.35, depth: 14},
	Coarse: {sigma: 0.7, tau: 0.6, omega: 0.8, depth: 9},
}

// integrator walks the spreads of a model and collects the posterior's nodes.
type integrator struct {
	g     *given
	grid  grid
	start float64 // a value of ln σ to begin the search from
	most  float64 // where the walk over ln σ ends at the latest
	peak  float64 // the highest logarithm of a node's mass so far
	nodes []node
	mass  []float64 // logarithms, one for each node
}

// integrate returns the nodes of the posterior with weights that add up to 1.
func integrate(g *given, fine grid) []node {
	in := &integrator{g: g, grid: fine, start: stats.Log(g.prior.BlockSD), peak: math.Inf(-1), most: mostLogSigma(g)}
	if g.d.terms.Runner {
		in.overOmega()
	} else {
		in.overTau(spreads{}, 0)
	}
	total := 0.0
	for i := range in.nodes {
		in.nodes[i].weight = stats.Exp(in.mass[i] - in.peak)
		total += in.nodes[i].weight
	}
	for i := range in.nodes {
		in.nodes[i].weight /= total
	}
	return in.nodes
}

// mostLogSigma is where the walk over ln σ ends. With 2 degrees of freedom or fewer, of the
// prior and the blocks together, the variance does not exist and the walk would not end, and
// with little more it ends beyond what a number can hold. Then blocks are taken to vary by no
// more than a factor of e^20, which says nothing of them. The default prior has 3.
func mostLogSigma(g *given) float64 {
	left := math.Max(0, float64(g.d.blocks-g.d.cells-len(g.d.free)))
	if g.prior.BlockDF+left >= 3 {
		return math.Inf(1)
	}
	return stats.Log(20)
}

// overSigma integrates over ln σ for known τ and ω, adds the nodes and returns the logarithm
// of their mass together. dx is the logarithm of the width that the node of τ and ω stands for.
func (in *integrator) overSigma(at spreads, dx float64) float64 {
	tau, omega := at.tau, at.omega
	mode, sd, _ := in.sigmaMode(tau, omega)
	top, sum := math.Inf(-1), 0.0
	visit := func(u float64) (inside bool) {
		s := mode + float64(sd*sinh(u))
		if u > 0 && s > in.most {
			return false
		}
		sigma := stats.Exp(s)
		mass := in.g.logDensity(sigma, tau, omega) + stats.Log(float64(float64(sd*cosh(u))*in.grid.sigma)) + dx
		// Variances grow with σ²: a tail must be small beside that too.
		reach := mass + float64(2*math.Max(0, s-mode))
		if reach > in.peak-in.grid.depth {
			at.sigma = sigma
			in.nodes = append(in.nodes, in.g.node(at))
			in.mass = append(in.mass, mass)
			in.peak = math.Max(in.peak, mass)
		}
		top, sum = addLog(top, sum, mass)
		return reach > top-in.grid.depth
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
		if math.Abs(step) < sd/2 {
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

// locate finds the hump of a density, given by its logarithm, whose prior has the scale. It
// is looked for roughly: the rule needs to know where its steps go, not more.
func locate(scale float64, f func(x float64) float64) hump {
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
	h := hump{x, fall(x, best, math.Max(x/2, smallest), f)}
	if x > 0 && zero < best-0.5 {
		h.sd = math.Min(h.sd, -fall(x, best, -x/2, f))
	}
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
