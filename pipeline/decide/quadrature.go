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
// whole line. With few, σ has a heavy tail, in which τ/σ = 0 would have no variance; while a
// control moves that is near enough.

// grid says how fine the rule is: steps of the stretched line, in standard deviations at the
// mode, and the depth below the peak, as a logarithm, at which it stops. scaledFrom is from how
// many degrees of freedom on σ runs within the ratios.
type grid struct{ sigma, tau, omega, depth, scaledFrom float64 }

var grids = [...]grid{
	Exact:  {sigma: 0.36, tau: 0.25, omega: 0.35, depth: 14, scaledFrom: 100},
	Coarse: {sigma: 0.7, tau: 0.6, omega: 0.8, depth: 9, scaledFrom: 100},
	Moving: {sigma: 0.8, tau: 0.8, omega: 0.8, depth: 7, scaledFrom: 5},
}

// From how many degrees of freedom on σ runs within the ratios where there are many shoes, which
// make solving for the ratios costly.
const (
	cheapSigmaDFOfShoes    = 20
	shoesOfCostlySolutions = 12
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

// gridPlace is where a grid of τ and ω lies, which is in units of σ where it is scaled, and a
// likely σ.
type gridPlace struct {
	tau, omega peak
	scaled     bool
	sigma      float64
}

// inUnits is a place in units of σ or not; nil where that is not how it was found and cannot be
// worked out.
func (p *gridPlace) inUnits(scaled bool) *gridPlace {
	switch {
	case p == nil || p.scaled == scaled:
		return p
	case p.scaled:
		return nil
	}
	to := *p
	to.scaled = true
	for _, of := range []*peak{&to.tau, &to.omega} {
		of.mode, of.sd = of.mode/p.sigma, of.sd/p.sigma
	}
	return &to
}

// integrate returns the nodes of the posterior with weights that add up to 1, and where the grid
// lies if others can use it. It is put at the given place, unless that is nil or of no use here.
func integrate(g *given, fine grid, runners bool, place *gridPlace) ([]node, *gridPlace) {
	in := &integrator{g: g, grid: fine, runners: runners, start: stats.Log(g.prior.BlockSD),
		scaled: g.sigmaIsCheap(fine), most: maxLogSigma(g), peak: math.Inf(-1)}
	in.place = place.inUnits(in.scaled)
	// The scales of the priors, in the unit of the grid.
	tauScale, omegaScale := g.prior.DaySD, g.prior.RunnerSD
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
func (g *given) sigmaIsCheap(fine grid) bool {
	return g.df() >= fine.scaledFrom || g.df() >= cheapSigmaDFOfShoes && len(g.d.free) >= shoesOfCostlySolutions
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
	if in.place == nil {
		in.keep(gridPlace{tau: in.locateTau(tauScale, 0)})
	}
	in.overTau(in.place.tau, spreads{}, 0)
}

// overOmega integrates over ω and τ. In units of σ, of which there are many blocks then, one grid
// of τ is good for every ω.
func (in *integrator) overOmega(tauScale, omegaScale float64) {
	var at gridPlace
	if in.place != nil {
		at = *in.place
	} else {
		at = in.locateOmega(tauScale, omegaScale)
		in.keep(at)
	}
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
		at.scaled, at.sigma = in.scaled, stats.Exp(in.start)
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
