package decide

import "slices"

// spreads is a point of the grid of spreads. A gap is the distance to the next point where
// the spread is 0, and 0 elsewhere.
type spreads struct{ sigma, tau, omega, tauGap, omegaGap float64 }

// node is the posterior at one point of the grid of spreads: normal, with its weight.
type node struct {
	spreads
	weight        float64
	shoes         effects   // β
	runners       []effects // β + w of each runner
	coef, coefVar []float64 // of the covariates, y less k x at the prior's mean
	shoeCoef      []float64 // covariances of coefficients and β, covariates x shoes
}

// effects are the shoes' effects against the first of their group: means and covariances,
// shoes x shoes.
type effects struct{ mean, cov []float64 }

// contrast returns the mean and the variance of shoe a less shoe b.
func (e effects) contrast(a, b int) (mean, variance float64) {
	n := len(e.mean)
	return e.mean[a] - e.mean[b], e.cov[a*n+a] + e.cov[b*n+b] - float64(2*e.cov[a*n+b])
}

// node takes down what g holds after logDensity at these spreads.
func (g *given) node(at spreads) node {
	s2 := float64(at.sigma * at.sigma)
	q := len(g.d.columns)
	coefCov := g.coef.Inverse(make([]float64, q*q), q)
	scale(coefCov, s2)
	base := g.shoeEffects()
	n := node{spreads: at, shoes: base.effects(s2, g.mean, coefCov)}
	for c := range q {
		n.coef, n.coefVar = append(n.coef, g.mean[c]), append(n.coefVar, coefCov[c*q+c])
	}
	// β = mean - slope c: its covariance with c is that of c times -slope.
	j := len(g.d.shoes)
	n.shoeCoef = make([]float64, q*j)
	for c := range q {
		for e := range q {
			for i, s := range base.slope[e*j : (e+1)*j] {
				n.shoeCoef[c*j+i] -= float64(coefCov[c*q+e] * s)
			}
		}
	}
	if g.d.terms.Runner {
		for i := range g.parts {
			runner := g.runnerEffects(i, base, float64(at.omega*at.omega)/s2)
			n.runners = append(n.runners, runner.effects(s2, g.mean, coefCov))
		}
	}
	return n
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

// effects integrates the coefficients out.
func (c conditional) effects(s2 float64, coef, coefCov []float64) effects {
	n, q := len(c.mean), len(coef)
	e := effects{slices.Clone(c.mean), slices.Clone(c.cov)}
	scale(e.cov, s2)
	for a := range q {
		sa := c.slope[a*n : (a+1)*n]
		for j, s := range sa {
			e.mean[j] -= float64(s * coef[a])
		}
		for b := range q {
			for i, s := range sa {
				f := float64(s * coefCov[a*q+b])
				row := e.cov[i*n : (i+1)*n]
				for j, t := range c.slope[b*n : (b+1)*n] {
					row[j] += float64(f * t)
				}
			}
		}
	}
	return e
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
	inverse := s.w.Inverse(make([]float64, k*k), k)
	spread := make([]float64, j*j) // V over all shoes
	for a := range j {
		spread[a*j+a] = 1
	}
	for a, at := range shoes {
		for b, to := range shoes {
			spread[at*j+to] = inverse[a*k+b]
		}
	}
	c := conditional{spreadOver(spread, base.mean), nil, make([]float64, q*j)}
	for col := range q {
		copy(c.slope[col*j:], spreadOver(spread, base.slope[col*j:(col+1)*j]))
	}
	// The runner's own blocks: fold holds L⁻¹R, and V R = L'⁻¹ L⁻¹ R.
	for col := range q + 1 {
		row := slices.Clone(s.fold[(k+col)*k : (k+col+1)*k])
		s.w.Backward(row)
		into := c.mean
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
