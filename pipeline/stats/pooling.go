package stats

import (
	"fmt"
	"math"
)

// PoolMethod estimates the variance between studies, tau².
type PoolMethod int

const (
	// PoolREML is restricted maximum likelihood.
	PoolREML PoolMethod = iota
	// DerSimonianLaird is the method of moments of DerSimonian & Laird (1986).
	DerSimonianLaird
	// PauleMandel solves Σ w (y-μ)² = k-1 (Paule & Mandel 1982).
	PauleMandel
)

// Pooled is a random-effects summary of k independent estimates.
type Pooled struct {
	K int
	// Q is Cochran's heterogeneity statistic with k-1 degrees of freedom, QP its p value,
	// I2 = max(0, (Q-df)/Q) and H2 = Q/df.
	Q, QP, I2, H2 float64
	// Common is the fixed-effect (inverse variance) summary, normal.
	Common Estimate
	// Tau2 is the variance between studies.
	Tau2 float64
	// Wald is the random-effects summary with the usual normal standard error.
	Wald Estimate
	// HKSJ has the standard error of Hartung & Knapp (2001) and Sidik & Jonkman (2002) and
	// k-1 degrees of freedom. Its variance is that of Wald times Factor.
	HKSJ   Estimate
	Factor float64
	// Safe is HKSJ with the larger of the two standard errors, because HKSJ alone can be
	// narrower than the usual interval when studies agree by chance (IntHout, Ioannidis &
	// Borm 2014; Röver, Knapp & Friede 2015).
	Safe Estimate

	y, v []float64
}

// Pool combines estimates y with known sampling variances v. k = 1 has no heterogeneity and
// no HKSJ standard error; k = 0 is not estimable. The error says which lengths differ, or
// which variance is not positive.
func Pool(y, v []float64, method PoolMethod) (Pooled, error) {
	if len(y) != len(v) {
		return Pooled{}, fmt.Errorf("pooling: %d estimates but %d variances", len(y), len(v))
	}
	if i := firstNotFinite(y); i >= 0 {
		return Pooled{}, fmt.Errorf("pooling: estimate %d is not a finite number", i)
	}
	for i, s := range v {
		if !(s > 0) || math.IsInf(s, 1) {
			return Pooled{}, fmt.Errorf("pooling: variance %d is %v, not a positive number", i, s)
		}
	}
	p := Pooled{K: len(y), y: y, v: v, Q: math.NaN(), QP: math.NaN(), I2: math.NaN(), H2: math.NaN(), Tau2: math.NaN(),
		Factor: math.NaN()}
	if p.K == 0 {
		p.Common, p.Wald, p.HKSJ, p.Safe = notEstimable(), notEstimable(), notEstimable(), notEstimable()
		return p, nil
	}
	p.summarise(method)
	return p, nil
}

func (p *Pooled) summarise(method PoolMethod) {
	df := float64(p.K - 1)
	mu, sw, q := p.weigh(0)
	p.Common = Estimate{Value: mu, SE: math.Sqrt(1 / sw), DF: math.Inf(1), Estimable: true}
	if df > 0 {
		p.Q, p.QP = q, ChiSquareTail(q, df)
		p.H2 = q / df
		p.I2 = math.Max(0, (q-df)/q)
		if q == 0 {
			p.I2 = 0
		}
	}
	p.Tau2 = p.between(method)
	mu, sw, q = p.weigh(p.Tau2)
	p.Wald = Estimate{Value: mu, SE: math.Sqrt(1 / sw), DF: math.Inf(1), Estimable: true}
	p.Factor = q / df // NaN for one study
	p.HKSJ = Estimate{Value: mu, SE: math.Sqrt(p.Factor / sw), DF: df, Estimable: true}
	p.Safe = p.HKSJ
	p.Safe.SE = math.Sqrt(math.Max(1, p.Factor) / sw)
}

// weigh returns the weighted mean with weights 1/(v+tau2), their sum, and the weighted sum
// of squares about the mean.
func (p *Pooled) weigh(tau2 float64) (mu, sw, q float64) {
	sy := 0.0
	for i, v := range p.v {
		sw += 1 / (v + tau2)
		sy += p.y[i] / (v + tau2)
	}
	mu = sy / sw
	for i, v := range p.v {
		q += float64((p.y[i]-mu)*(p.y[i]-mu)) / (v + tau2)
	}
	return mu, sw, q
}

func (p *Pooled) between(method PoolMethod) float64 {
	if p.K < 2 {
		return 0
	}
	switch method {
	case DerSimonianLaird:
		return p.momentTau2()
	case PauleMandel:
		return p.solveQ(float64(p.K - 1))
	}
	return p.remlTau2()
}

// momentTau2 is max(0, (Q - (k-1)) / (Σw - Σw²/Σw)) with w = 1/v.
func (p *Pooled) momentTau2() float64 {
	_, sw, q := p.weigh(0)
	s2 := 0.0
	for _, v := range p.v {
		s2 += 1 / float64(v*v)
	}
	return math.Max(0, (q-float64(p.K-1))/(sw-s2/sw))
}

// scaleOf is a variance far above anything tau² can be.
func (p *Pooled) scaleOf() float64 {
	s := Variance(p.y)
	for _, v := range p.v {
		s = math.Max(s, v)
	}
	return float64(100 * s)
}

// solveQ returns the tau² at which the weighted sum of squares is target, 0 when it is
// smaller already.
func (p *Pooled) solveQ(target float64) float64 {
	excess := func(tau2 float64) float64 { _, _, q := p.weigh(tau2); return q - target }
	if excess(0) <= 0 {
		return 0
	}
	hi := p.scaleOf()
	for excess(hi) > 0 {
		hi = float64(hi * 10)
	}
	return findRoot(excess, 0, hi)
}

// remlTau2 maximises the restricted likelihood.
func (p *Pooled) remlTau2() float64 {
	top := p.scaleOf()
	grid := make([]float64, 61)
	for i := range grid {
		grid[i] = float64(top * Pow(10, float64(i-60)/4))
	}
	tau2, _, _ := lowest(p.remlCriterion, p.remlScore, grid)
	return tau2
}

// remlCriterion is -2 times the restricted log likelihood but for a constant.
func (p *Pooled) remlCriterion(tau2 float64) float64 {
	_, sw, q := p.weigh(tau2)
	c := Log(sw) + q
	for _, v := range p.v {
		c += Log(v + tau2)
	}
	return c
}

// remlScore is its derivative Σw - Σw²/Σw - Σw²(y-μ)².
func (p *Pooled) remlScore(tau2 float64) float64 {
	mu, sw, _ := p.weigh(tau2)
	s2, sq := 0.0, 0.0
	for i, v := range p.v {
		w2 := 1 / float64((v+tau2)*(v+tau2))
		s2 += w2
		sq += float64(w2 * float64((p.y[i]-mu)*(p.y[i]-mu)))
	}
	return sw - s2/sw - sq
}

// Prediction returns the interval for the effect in a new study like these, from a summary
// of the same Pooled: value ± t sqrt(tau² + SE²) with the summary's degrees of freedom
// (Higgins, Thompson & Spiegelhalter 2009 use k-2; with HKSJ k-1 is usual).
func (p Pooled) Prediction(e Estimate, level float64) (lo, hi float64) {
	e.SE = math.Sqrt(p.Tau2 + float64(e.SE*e.SE))
	return e.Interval(level)
}

// Tau2Interval returns the Q-profile interval of tau² (Viechtbauer 2007), NaN for one study.
func (p Pooled) Tau2Interval(level float64) (lo, hi float64) {
	if p.K < 2 || !(level > 0 && level < 1) {
		return math.NaN(), math.NaN()
	}
	df := float64(p.K - 1)
	return p.solveTail((1-level)/2, df), p.solveTail((1+level)/2, df)
}

// solveTail returns the tau² at which the upper tail of Q is a, 0 when it is larger already.
func (p Pooled) solveTail(a, df float64) float64 {
	excess := func(tau2 float64) float64 { _, _, q := p.weigh(tau2); return a - ChiSquareTail(q, df) }
	if excess(0) <= 0 {
		return 0
	}
	hi := p.scaleOf()
	for excess(hi) > 0 {
		hi = float64(hi * 10)
	}
	return findRoot(excess, 0, hi)
}
