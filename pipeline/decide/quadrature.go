package decide

import (
	"math"

	"soletrial/pipeline/stats"
)

// The integrals over the spreads use the trapezoidal rule on a line stretched by sinh, which
// converges geometrically for smooth integrands (Trefethen & Weideman 2014). τ and ω
// enter by their squares only, so the rule may start at 0, as half of an even function.
//
// From a hundred degrees of freedom on, or twenty with a dozen shoes, they run over τ/σ and
// ω/σ in place of τ and ω: σ is then cheap, because all that is large is solved once for its
// whole line. With few, σ has a heavy tail, in which τ/σ = 0 would have no variance.

// grid says how fine the rule is: steps of the stretched line, in standard deviations at the
// mode, and the depth below the peak, as a logarithm, at which it stops.
type grid struct{ sigma, tau, omega, depth float64 }

var grids = [...]grid{
	Exact:  {sigma: 0.36, tau: 0.25, omega: 0.35, depth: 14},
	Coarse: {sigma: 0.7, tau: 0.6, omega: 0.8, depth: 9},
}

// From how many degrees of freedom on σ runs within the ratios, and where there are many shoes,
// which make solving for the ratios dear.
const (
	cheapSigmaDF         = 100
	cheapSigmaDFOfShoes  = 20
	shoesOfDearSolutions = 12
)

// integrator walks the spreads of a model and collects the posterior's nodes.
type integrator struct {
	g       *given
	grid    grid
	scaled  bool    // the grid's τ and ω are in units of σ
	runners bool    // whether what differs between runners is wanted
	at      spreads // where the walk over σ is
	start   float64 // a value of ln σ to begin the search from
	most    float64 // where the walk over ln σ ends at the latest
	peak    float64 // the highest logarithm of a node's mass so far
	nodes   []node
	mass    []float64 // logarithms, one for each node
	place   *gridPlace
}

// gridPlace is where a grid of τ and ω lies, which is in units of σ where it is scaled.
type gridPlace struct {
	tau, omega peak
	scaled     bool
}

// integrate returns the nodes of the posterior with weights that add up to 1, and where the grid
// lies if others can use it. It is put at the given place, unless that is nil or in other units.
func integrate(g *given, fine grid, runners bool, place *gridPlace) ([]node, *gridPlace) {
	in := &integrator{place: place, g: g, grid: fine, runners: runners, start: stats.Log(g.prior.BlockSD),
		scaled: g.sigmaIsCheap(), most: maxLogSigma(g), peak: math.Inf(-1)}
	// The scales of the priors, in the unit of the grid.
	tauScale, omegaScale := g.prior.DaySD, g.prior.RunnerSD
	if in.place != nil && in.place.scaled != in.scaled {
		in.place = nil
	}
	if in.scaled && in.place == nil {
		in.laplace(0, 0)
		sigma := stats.Exp(in.start)
		tauScale, omegaScale = tauScale/sigma, omegaScale/sigma
	}
	if g.d.terms.Runner {
		in.overOmega(tauScale, omegaScale)
	} else {
		in.overOneRunner(tauScale)
	}
	// What a node weighs.
	total := 0.0
	for i := range in.nodes {
		in.nodes[i].weight = stats.Exp(in.mass[i] - in.peak)
		total += in.nodes[i].weight
	}
	for i := range in.nodes {
		in.nodes[i].weight /= total
	}
	return in.nodes, in.place
}

// sigmaIsCheap tells whether σ runs within the ratios.
func (g *given) sigmaIsCheap() bool {
	return g.df() >= cheapSigmaDF || g.df() >= cheapSigmaDFOfShoes && len(g.d.free) >= shoesOfDearSolutions
}

// maxLogSigma is where the walk over ln σ ends. With 2 degrees of freedom or fewer, of the
// prior and the blocks together, the variance does not exist and the walk would not end, and
// with little more it ends beyond what a number can hold. Then blocks are taken to vary by no
// more than a factor of e^20, which says nothing of them. The default prior has 3.
func maxLogSigma(g *given) float64 {
	if g.df() >= 3 {
		return math.Inf(1)
	}
	return stats.Log(20)
}

// overSigma integrates over ln σ for known τ and ω, adds the nodes and returns the logarithm
// of their mass together. dx is the logarithm of the width that the node of τ and ω stands for.
func (in *integrator) overSigma(at spreads, dx float64) float64 {
	in.moveTo(at)
	mode, sd, _ := in.sigmaMode()
	top, sum := math.Inf(-1), 0.0
	var solved *solution // for every σ
	visit := func(u float64) (inside bool) {
		s := mode + float64(sd*sinh(u))
		if u > 0 && s > in.most {
			return false
		}
		mass := in.logDensity(s) + stats.Log(float64(float64(sd*cosh(u))*in.grid.sigma)) + dx
		// Variances grow with σ²: a tail must be small beside that too.
		reach := mass + float64(2*math.Max(0, s-mode))
		if reach > in.peak-in.grid.depth {
			if solved == nil || !in.scaled {
				solved = in.g.solution(in.runners)
			}
			in.nodes, in.mass = append(in.nodes, in.g.node(in.spreads(s), solved)), append(in.mass, mass)
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

// moveTo begins a line over σ.
func (in *integrator) moveTo(at spreads) {
	in.at = at
	if in.scaled {
		in.g.solveAt(ratiosOf(1, at.tau, at.omega))
	}
}

// spreads are those on the line over σ.
func (in *integrator) spreads(logSigma float64) spreads {
	at := in.at
	at.sigma = stats.Exp(logSigma)
	if in.scaled {
		for _, x := range []*float64{&at.tau, &at.omega, &at.tauGap, &at.omegaGap} {
			*x = float64(*x * at.sigma)
		}
	}
	return at
}

// logDensity is that of ln σ and the grid's τ and ω on the line over σ. Where these are in
// units of σ, it carries each of them back to them.
func (in *integrator) logDensity(logSigma float64) float64 {
	at := in.spreads(logSigma)
	if !in.scaled {
		in.g.solveAt(ratiosOf(at.sigma, at.tau, at.omega))
		return in.g.logDensity(at.sigma, at.tau, at.omega)
	}
	density := in.g.logDensity(at.sigma, at.tau, at.omega) + logSigma
	if in.g.d.terms.Runner {
		density += logSigma
	}
	return density
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

// sigmaMode finds the most likely ln σ on the line, its standard deviation by the curvature
// there, and the logarithm of the density. It begins where the last search ended.
func (in *integrator) sigmaMode() (mode, sd, density float64) {
	const h = 0.05
	s := in.start
	for range 60 {
		below, here, above := in.logDensity(s-h), in.logDensity(s), in.logDensity(s+h)
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
	in.moveTo(spreads{tau: tau, omega: omega})
	_, sd, density := in.sigmaMode()
	return density + stats.Log(sd)
}

// overTau integrates over τ, whose mass is at the given place, for known ω.
func (in *integrator) overTau(p peak, at spreads, dx float64) float64 {
	return p.walk(in.grid.tau, in.grid.depth, func(tau, gap, width float64) float64 {
		at.tau, at.tauGap = tau, gap
		return in.overSigma(at, dx+width)
	})
}

// locateTau finds where the mass of τ is for known ω.
func (in *integrator) locateTau(scale, omega float64) peak {
	return locate(scale, func(tau float64) float64 { return in.laplace(tau, omega) })
}

// overOneRunner integrates over τ where runners make no difference.
func (in *integrator) overOneRunner(tauScale float64) {
	var of peak
	if in.place != nil {
		of = in.place.tau
	} else {
		of = in.locateTau(tauScale, 0)
	}
	in.keep(gridPlace{tau: of})
	in.overTau(of, spreads{}, 0)
}

// overOmega integrates over ω and τ. In units of σ, of which there are many blocks then, one grid
// of τ is good for every ω.
func (in *integrator) overOmega(tauScale, omegaScale float64) {
	var at gridPlace
	if in.place != nil {
		at = *in.place
	} else {
		at = in.locateOmega(tauScale, omegaScale)
	}
	in.keep(at)
	if in.scaled {
		in.g.reduced = map[float64][]reducedPart{}
	}
	at.omega.walk(in.grid.omega, in.grid.depth, func(omega, gap, width float64) float64 {
		of := at.tau
		if !in.scaled {
			of = in.locateTau(tauScale, omega)
		}
		return in.overTau(of, spreads{omega: omega, omegaGap: gap}, width)
	})
}

// keep keeps where the grid lies, if others may use it: not where every ω has its own grid of τ.
func (in *integrator) keep(at gridPlace) {
	if in.scaled || !in.g.d.terms.Runner {
		at.scaled = in.scaled
		in.place = &at
	}
}

// locateOmega finds where the mass of ω is, with τ at three values around its mode at half the
// scale of ω, and where that of τ is there.
func (in *integrator) locateOmega(tauScale, omegaScale float64) gridPlace {
	of := in.locateTau(tauScale, float64(omegaScale/2))
	taus := [...]float64{math.Max(0, of.mode-of.sd), of.mode, of.mode + of.sd}
	return gridPlace{tau: of, omega: locate(omegaScale, func(omega float64) float64 {
		top, sum := math.Inf(-1), 0.0
		for _, tau := range taus {
			top, sum = addLog(top, sum, in.laplace(tau, omega))
		}
		return top + stats.Log(sum)
	})}
}

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
