package stats

import (
	"fmt"
	"math"
)

// PriorPool is a random-effects summary of independent estimates y_i ~ N(μ_i, v_i),
// μ_i ~ N(μ, τ²), with a flat prior on μ and a half-normal one on τ, the spread between
// studies: the normal-normal hierarchical model (Röver 2020, Journal of Statistical
// Software 93(6)). Given τ all is normal, so every answer is a mixture over a grid of τ.
type PriorPool struct {
	// Mean and SD are those of μ; Tau and TauSD those of τ.
	Mean, SD, Tau, TauSD float64

	nodes []poolNode
}

// poolNode is one value of τ with its posterior weight, and μ given it.
type poolNode struct{ weight, mean, variance, tau float64 }

// The grid of τ is equally spaced: the posterior is an even, analytic function of τ, for
// which the trapezoidal rule over a half line converges faster than any power of the step.
// It has singularities at ± i √v, which asks for steps of a fraction of the smallest √v.
const (
	priorReach  = 8.5 // of the prior's scale: exp(-8.5²/2) is 2e-16
	stepsPerSE  = 4
	minTauSteps = 256
	maxTauSteps = 20_000
)

// PoolWithPrior summarises estimates y with known sampling variances v, τ being half-normal
// with the given scale. One estimate is enough. The error says what is not a number, or not
// above 0.
func PoolWithPrior(y, v []float64, scale float64) (PriorPool, error) {
	if len(y) == 0 {
		return PriorPool{}, fmt.Errorf("pooling: no estimates")
	}
	if !(scale > 0) || math.IsInf(scale, 1) {
		return PriorPool{}, fmt.Errorf("pooling: the prior's scale is %v, not a positive number", scale)
	}
	pooled, err := Pool(y, v, DerSimonianLaird)
	if err != nil {
		return PriorPool{}, err
	}
	smallest := v[0]
	for _, s := range v {
		smallest = math.Min(smallest, s)
	}
	reach := float64(priorReach * scale)
	steps := int(math.Min(maxTauSteps, math.Max(minTauSteps, stepsPerSE*reach/math.Sqrt(smallest))))
	// The logarithm of the posterior at each node, then its weight.
	p := PriorPool{nodes: make([]poolNode, steps+1)}
	highest := math.Inf(-1)
	for i := range p.nodes {
		n := &p.nodes[i]
		n.tau = float64(reach * float64(i) / float64(steps))
		n.weight = pooled.posterior(n) - float64(n.tau/scale*(n.tau/scale))/2
		highest = math.Max(highest, n.weight)
	}
	total := 0.0
	for i := range p.nodes {
		n := &p.nodes[i]
		n.weight = Exp(n.weight - highest)
		if i == 0 {
			n.weight /= 2
		}
		total += n.weight
	}
	for i := range p.nodes {
		p.nodes[i].weight /= total
	}
	p.describe()
	return p, nil
}

// posterior fills in μ given the node's τ and returns the logarithm of the likelihood of τ,
// μ integrated out: -½ (Σ ln(v+τ²) + ln Σw + Q).
func (p *Pooled) posterior(n *poolNode) float64 {
	mu, sw, q := p.weigh(float64(n.tau * n.tau))
	n.mean, n.variance = mu, 1/sw
	logs := Log(sw) + q
	for _, v := range p.v {
		logs += Log(v + float64(n.tau*n.tau))
	}
	return -logs / 2
}

func (p *PriorPool) describe() {
	square, tauSquare := 0.0, 0.0
	for _, n := range p.nodes {
		p.Mean += float64(n.weight * n.mean)
		p.Tau += float64(n.weight * n.tau)
		tauSquare += float64(n.weight * float64(n.tau*n.tau))
	}
	for _, n := range p.nodes {
		d := n.mean - p.Mean
		square += float64(n.weight * (n.variance + float64(d*d)))
	}
	// τ itself is not even: by Euler and Maclaurin its mean lacks step²/12 times the density at
	// 0, which is the first weight over half a step.
	p.Tau += float64(p.nodes[0].weight*p.nodes[1].tau) / 6
	p.SD, p.TauSD = math.Sqrt(square), math.Sqrt(math.Max(0, tauSquare-float64(p.Tau*p.Tau)))
}

// Above returns P(μ > x): the mean over studies; NewAbove the same of a study to come.
func (p *PriorPool) Above(x float64) float64 { return p.above(x, false) }

// NewAbove returns P(μ_new > x), μ_new being the effect in a study that was not there.
func (p *PriorPool) NewAbove(x float64) float64 { return p.above(x, true) }

// Interval returns the equal-tailed interval of μ.
func (p *PriorPool) Interval(confidence float64) (low, high float64) {
	return p.interval(confidence, false)
}

// NewInterval returns the equal-tailed interval of the effect in a study that was not there.
func (p *PriorPool) NewInterval(confidence float64) (low, high float64) {
	return p.interval(confidence, true)
}

func (p *PriorPool) above(x float64, another bool) float64 {
	sum := 0.0
	for _, n := range p.nodes {
		variance := n.variance
		if another {
			variance += float64(n.tau * n.tau)
		}
		sum += float64(n.weight * NormalCDF((n.mean-x)/math.Sqrt(variance)))
	}
	return sum
}

func (p *PriorPool) interval(confidence float64, another bool) (low, high float64) {
	// From far enough out on both sides of every node.
	widest := 0.0
	for _, n := range p.nodes {
		widest = math.Max(widest, n.variance+float64(n.tau*n.tau))
	}
	reach := float64(40 * math.Sqrt(widest))
	quantile := func(q float64) float64 {
		return findRoot(func(x float64) float64 { return 1 - p.above(x, another) - q }, p.Mean-reach, p.Mean+reach)
	}
	return quantile((1 - confidence) / 2), quantile((1 + confidence) / 2)
}
