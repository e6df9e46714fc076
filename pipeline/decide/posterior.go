package decide

import (
	"math"

	"soletrial/pipeline/stats"
)

// Posterior is what the blocks and the priors say together.
type Posterior struct {
	// Shoes and Runners are the labels, sorted. Indices below count in these.
	Shoes, Runners []string
	// Groups are the linked shoes: only shoes of one group are compared.
	Groups [][]int
	Terms  Terms
	// Spreads describes the block, day and runner spreads, the drift and the exponent.
	Spreads Spreads
	// Blocks counts what it rests on.
	Blocks int

	settings Settings
	accuracy Accuracy
	columns  []column
	group    []int // of each shoe
	nodes    []node
	place    *gridPlace // of the grid of spreads; nil where others cannot use it
}

// Moments are a posterior mean and standard deviation, both NaN for a term that is not in.
type Moments struct{ Mean, SD float64 }

// Spreads holds the posterior of everything but the shoes, on the logarithmic scale. Gamma
// is per hour, Curve per hour squared.
type Spreads struct{ Sigma, Tau, Omega, Gamma, Curve, K Moments }

// Fit returns the posterior of the model. The order of the blocks does not matter. The
// error says which block or setting cannot take part.
func Fit(blocks []Block, settings Settings, accuracy Accuracy) (*Posterior, error) {
	return fitModel(blocks, settings, accuracy, true, nil)
}

// FitNear is [Fit] for blocks that are nearly those of another posterior, as while a window moves:
// the grid of the spreads lies where it lies there, which saves looking for its place.
func FitNear(blocks []Block, settings Settings, accuracy Accuracy, near *Posterior) (*Posterior, error) {
	return fitModel(blocks, settings, accuracy, true, near.placeNear(blocks))
}

// FitShoes is [FitNear] for whoever asks about shoes only and not about single runners, which is
// less work and memory where there are several. Near may be nil.
func FitShoes(blocks []Block, settings Settings, accuracy Accuracy, near *Posterior) (*Posterior, error) {
	return fitModel(blocks, settings, accuracy, false, near.placeNear(blocks))
}

// fitModel fits with or without the effects of single runners, with the grid of spreads at a
// place that another fit found, or nil.
func fitModel(
	blocks []Block, settings Settings, accuracy Accuracy, runners bool, place *gridPlace,
) (*Posterior, error) {
	if err := checkBlocks(blocks); err != nil {
		return nil, err
	}
	if err := settings.check(); err != nil {
		return nil, err
	}
	d := newDesign(blocks, settings)
	p := &Posterior{
		Shoes: d.shoes, Runners: d.runners, Groups: d.groups, Terms: d.terms, Blocks: d.blocks,
		settings: settings, accuracy: accuracy, columns: d.columns, group: make([]int, len(d.shoes)),
	}
	p.nodes, p.place = integrate(newGiven(d, settings.Prior), grids[accuracy], runners, place)
	for g, shoes := range d.groups {
		for _, j := range shoes {
			p.group[j] = g
		}
	}
	p.Spreads = p.spreads(d.columns)
	return p, nil
}

// spreads summarises the nodes.
func (p *Posterior) spreads(columns []column) Spreads {
	none := Moments{missing, missing}
	s := Spreads{
		Sigma: p.moments(func(n *node) (float64, float64) { return n.sigma, 0 }),
		Tau:   p.halfLine(func(n *node) (float64, float64) { return n.tau, n.tauGap }),
		Omega: none, Gamma: none, Curve: none, K: none,
	}
	if p.Terms.Runner {
		s.Omega = p.halfLine(func(n *node) (float64, float64) { return n.omega, n.omegaGap })
	}
	exponent := p.settings.Prior.Exponent
	if p.Terms.Exponent {
		s.K = Moments{exponent.Mean, 0}
	}
	// What is a coefficient of the model is normal at each node.
	for c, col := range columns {
		m := p.moments(func(n *node) (float64, float64) { return n.coef[c], n.coefCov[c*len(columns)+c] })
		switch col.kind {
		case driftColumn:
			s.Gamma = m
		case curveColumn:
			s.Curve = m
		case exponentColumn:
			s.K = Moments{exponent.Mean + m.Mean, m.SD}
		}
	}
	return s
}

func (p *Posterior) moments(of func(*node) (mean, variance float64)) Moments {
	var m mixture
	for i := range p.nodes {
		mean, variance := of(&p.nodes[i])
		m.add(p.nodes[i].weight, mean, variance)
	}
	mean, sd := m.moments()
	return Moments{mean, sd}
}

// halfLine returns the moments of τ or ω. The rule takes them for even functions, which x
// itself is not: by Euler and Maclaurin its mean lacks gap²/12 times the density at 0.
func (p *Posterior) halfLine(of func(*node) (x, gap float64)) Moments {
	mean, square := 0.0, 0.0
	for i := range p.nodes {
		x, gap := of(&p.nodes[i])
		w := p.nodes[i].weight // at 0: density times gap/2
		mean += float64(w * (x + gap/6))
		square += float64(w * float64(x*x))
	}
	return Moments{mean, math.Sqrt(math.Max(0, square-float64(mean*mean)))}
}

// Percent turns a difference of logarithms into percent.
func Percent(log float64) float64 { return float64(100 * stats.Expm1(log)) }
