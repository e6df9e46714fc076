package decide

import "slices"

// solution is the posterior of the shoes at one point of the ratios. Nodes that
// differ in σ only share it.
type solution struct {
	shoes   conditional   // β
	runners []conditional // β + w of each runner
}

// spreads is a point of the grid of spreads. A gap is the distance to the next point where
// the spread is 0, and 0 elsewhere.
type spreads struct{ sigma, tau, omega, tauGap, omegaGap float64 }

// node is the posterior at one point of the grid of spreads: normal, with its weight.
type node struct {
	spreads
	*solution
	weight        float64
	coef, coefCov []float64 // of the covariates, y less k x at the prior's mean
}

// contrast returns the mean and the variance of shoe a less shoe b.
func (n *node) contrast(a, b int) (mean, variance float64) { return n.contrastIn(&n.shoes, a, b) }

// ofRunner is contrast for one of several runners.
func (n *node) ofRunner(runner, a, b int) (mean, variance float64) {
	return n.contrastIn(&n.runners[runner], a, b)
}

// contrastIn integrates the covariates' coefficients out.
func (n *node) contrastIn(c *conditional, a, b int) (mean, variance float64) {
	j := len(c.mean)
	mean = c.mean[a] - c.mean[b]
	for e, coef := range n.coef {
		mean -= float64((c.slope[e*j+a] - c.slope[e*j+b]) * coef)
	}
	return mean, n.varianceIn(c, a, b)
}

// varianceIn is the variance of contrastIn alone.
func (n *node) varianceIn(c *conditional, a, b int) float64 {
	j, q := len(c.mean), len(n.coef)
	variance := float64(float64(n.sigma*n.sigma) * (c.cov[a*j+a] + c.cov[b*j+b] - float64(2*c.cov[a*j+b])))
	for e := range q {
		slope := c.slope[e*j+a] - c.slope[e*j+b]
		for f, cov := range n.coefCov[e*q : (e+1)*q] {
			variance += float64(float64(slope*cov) * (c.slope[f*j+a] - c.slope[f*j+b]))
		}
	}
	return variance
}

// day is the variance of two shoes' difference from day to day.
func (n *node) day() float64 { return float64(2 * float64(n.tau*n.tau)) }

// newRunner is the variance of two shoes' difference on one day of somebody who is not in the data.
func (n *node) newRunner() float64 { return n.day() + float64(2*float64(n.omega*n.omega)) }

// coefWith returns the covariance of a covariate's coefficient with shoe a less shoe b: β is
// mean - slope c, so its covariance with c is that of c times -slope.
func (n *node) coefWith(column, a, b int) float64 {
	c := &n.shoes
	j, q, covariance := len(c.mean), len(n.coef), 0.0
	for e := range q {
		covariance -= float64(n.coefCov[column*q+e] * (c.slope[e*j+a] - c.slope[e*j+b]))
	}
	return covariance
}

// node takes down what g holds after logDensity of the spreads.
func (g *given) node(at spreads, solved *solution) node {
	q := len(g.d.columns)
	coefCov := g.coef.Inverse(make([]float64, q*q), q)
	scale(coefCov, float64(at.sigma*at.sigma))
	return node{spreads: at, coef: slices.Clone(g.mean), coefCov: coefCov, solution: solved}
}

// solution takes down what g holds after solveAt, with the effects of each runner where they
// are wanted.
func (g *given) solution(runners bool) *solution {
	s := &solution{shoes: g.shoeEffects()}
	if runners && g.d.terms.Runner {
		for i := range g.parts {
			s.runners = append(s.runners, g.runnerEffects(i, s.shoes, g.at.kappa2))
		}
	}
	return s
}

func scale(a []float64, f float64) {
	for i := range a {
		a[i] = float64(a[i] * f)
	}
}

// conditional is the distribution of the shoes' effects given the covariates'
// coefficients c: normal with mean mean - slope c and covariance σ² cov.
type conditional struct {
	mean, cov []float64
	slope     []float64 // covariates x shoes
}

// shoeEffects returns β given the coefficients.
func (g *given) shoeEffects() conditional {
	j, q, free := len(g.d.shoes), len(g.d.columns), len(g.d.free)
	c := conditional{make([]float64, j), make([]float64, j*j), make([]float64, q*j)}
	inverse := g.beta.Inverse(make([]float64, free*free), free)
	for i, at := range g.d.free {
		for e, to := range g.d.free {
			c.cov[at*j+to] = inverse[i*free+e]
		}
	}
	for col := range q + 1 {
		row := slices.Clone(g.solve[col*free : (col+1)*free])
		g.beta.Backward(row)
		into := c.mean
		if col < q {
			into = c.slope[col*j : (col+1)*j]
		}
		for i, at := range g.d.free {
			into[at] = row[i]
		}
	}
	return c
}

// runnerEffects returns β + w of runner i given the coefficients. With N the products of the
// runner's shoe columns, V = (I+κ²N)⁻¹ and R the products of shoe columns and covariates or y:
//
//	β + w = V (β + κ² (R_y - R c)) + normal noise of covariance σ² κ² V
//
// V is the identity for a shoe that the runner has not run.
func (g *given) runnerEffects(i int, base conditional, kappa2 float64) conditional {
	shoes, s := g.d.parts[i].shoes, &g.parts[i]
	j, q, k := len(g.d.shoes), len(g.d.columns), len(shoes)
	spread := make([]float64, j*j) // V over all shoes
	for a := range j {
		spread[a*j+a] = 1
	}
	for a, at := range shoes {
		for b, to := range shoes {
			spread[at*j+to] = s.v[a*k+b]
		}
	}
	c := conditional{spreadOver(spread, base.mean), nil, make([]float64, q*j)}
	for col := range q {
		copy(c.slope[col*j:], spreadOver(spread, base.slope[col*j:(col+1)*j]))
	}
	// The runner's own blocks: the sums of a column and the shoes are V R since foldRunner.
	for col := range q + 1 {
		row, into := s.sums[(k+col)*s.n:], c.mean
		if col < q {
			into = c.slope[col*j : (col+1)*j]
		}
		for a, at := range shoes {
			into[at] += float64(kappa2 * row[a])
		}
	}
	c.cov = sandwich(spread, base.cov, j)
	for at := range spread {
		c.cov[at] += float64(kappa2 * spread[at])
	}
	return c
}

// spreadOver returns the product of the symmetric matrix v and the vector x.
func spreadOver(v, x []float64) []float64 {
	n := len(x)
	out := make([]float64, n)
	for i := range out {
		out[i] = product(v[i*n:(i+1)*n], x)
	}
	return out
}

// sandwich returns v s v of symmetric n x n matrices.
func sandwich(v, s []float64, n int) []float64 {
	half := make([]float64, n*n) // (s v)' = v s
	for i := range n {
		copy(half[i*n:(i+1)*n], spreadOver(s, v[i*n:(i+1)*n]))
	}
	out := make([]float64, n*n)
	for i := range n {
		for j := range n {
			out[i*n+j] = product(v[i*n:(i+1)*n], half[j*n:(j+1)*n])
		}
	}
	return out
}
