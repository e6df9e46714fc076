package decide

import (
	"math"
	"slices"

	"soletrial/pipeline/stats"
)

// given solves the model for known spreads: first for their ratios with [given.solveAt], which
// is the work, then for any σ with [given.logDensity]. Its buffers are used again by every call.
//
// In units of σ², with λ = τ²/σ², the blocks of a shoe in a session have the covariance
// I + λ 1 1', whose inverse is I - λ/(1+λn) 1 1'. All matrices below are cross products of
// the columns (shoes, covariates, y) in that metric.
type given struct {
	d     *design
	prior Prior
	parts []partSums
	total []float64 // of all parts: shoes, then covariates, then y; lower triangle
	beta  stats.Cholesky
	solve []float64 // (covariates and y) x free shoes: the forward solved columns
	rest  []float64 // covariates and y, without the shoes; lower triangle
	coef  stats.Cholesky
	mean  []float64 // of the covariates' coefficients
	v, m  []float64 // scratch of one session

	// reduced holds the products of the parts by λ, which do not depend on κ: a grid of τ and ω asks
	// for each λ at every κ. nil where no λ comes twice.
	reduced map[float64][]reducedPart

	at     ratios  // of the last solveAt
	logDet float64 // what of the density depends on the ratios only
}

// reducedPart are the cross products of a part with u and α integrated out, and ln |A'D⁻¹A|.
type reducedPart struct {
	sums   []float64
	logDet float64
}

// ratios are the variances between days and between runners in units of σ²: λ = τ²/σ² and
// κ² = ω²/σ². Given these, σ is but a scale, and all that is large is solved once for every σ.
type ratios struct{ lambda, kappa2 float64 }

func ratiosOf(sigma, tau, omega float64) ratios {
	s2 := float64(sigma * sigma)
	return ratios{float64(tau*tau) / s2, float64(omega*omega) / s2}
}

// partSums are the cross products of a part, its shoes first; lower triangle.
type partSums struct {
	n     int // shoes, covariates and y
	sums  []float64
	w     stats.Cholesky // of I + κ² N, κ = ω/σ and N the products of the shoes
	v     []float64      // (I + κ² N)⁻¹
	alone []float64      // products of the shoes and one other column, as they were without w
}

func newGiven(d *design, prior Prior) *given {
	width, j, free := len(d.columns)+1, len(d.shoes), len(d.free)
	g := &given{
		d: d, prior: prior, total: make([]float64, (j+width)*(j+width)),
		beta:  stats.Cholesky{N: free, L: make([]float64, free*free)},
		solve: make([]float64, width*free), rest: make([]float64, width*width),
		coef: stats.Cholesky{N: width - 1, L: make([]float64, (width-1)*(width-1))},
		mean: make([]float64, width-1),
	}
	levels, wide := 0, 0
	for _, p := range d.parts {
		k, n := len(p.shoes), len(p.shoes)+width
		s := partSums{n: n, sums: make([]float64, n*n)}
		if d.terms.Runner {
			s.w = stats.Cholesky{N: k, L: make([]float64, k*k)}
			s.v, s.alone = make([]float64, k*k), make([]float64, k)
		}
		g.parts = append(g.parts, s)
		for i := range p.layouts {
			levels, wide = max(levels, p.layouts[i].levels), max(wide, 2*len(p.layouts[i].shoes))
		}
	}
	g.v, g.m = make([]float64, levels*wide), make([]float64, levels*levels)
	return g
}

// solveAt solves the model for the ratios of the spreads and leaves the products of the
// covariates and y, without α, β, u and w, in g.
func (g *given) solveAt(at ratios) {
	logDet := 0.0
	for n, sets := range g.d.sizes {
		if sets > 0 {
			logDet += float64(float64(sets) * stats.Log1p(float64(at.lambda*float64(n))))
		}
	}
	clear(g.total)
	known := g.reduced[at.lambda]
	for i := range g.parts {
		if known != nil {
			copy(g.parts[i].sums, known[i].sums)
			logDet += g.addPart(i, known[i].logDet, at.kappa2)
			continue
		}
		alone := g.reducePart(i, at.lambda)
		if g.reduced != nil {
			g.reduced[at.lambda] = append(g.reduced[at.lambda], reducedPart{slices.Clone(g.parts[i].sums), alone})
		}
		logDet += g.addPart(i, alone, at.kappa2)
	}
	g.at, g.logDet = at, logDet+g.solveShoes()
}

// logDensity returns the logarithm of the posterior density of (ln σ, τ, ω), whose ratios are
// those of the last [given.solveAt], but for a constant, and leaves the solution for this σ in g.
//
// It is the restricted likelihood: with α and β integrated over flat priors,
//
//	σ^-(n-cells-free) |D|^-½ |A'D⁻¹A|^-½ |I+κ²N|^-½ |N_β|^-½ |I+QΛ⁻¹/σ²|^-½ exp(-R/2σ²)
//
// with R the residual sum of squares, times the priors of the spreads.
func (g *given) logDensity(sigma, tau, omega float64) float64 {
	s2 := float64(sigma * sigma)
	ss, logDet := g.solveCovariates(s2)
	logDet += g.logDet

	p := g.prior
	ss += float64(p.BlockDF * float64(p.BlockSD*p.BlockSD))
	density := -float64(g.df()*stats.Log(sigma)) - logDet/2 - ss/(2*s2)
	density -= float64(tau*tau) / (2 * float64(p.DaySD*p.DaySD))
	return density - float64(omega*omega)/(2*float64(p.RunnerSD*p.RunnerSD))
}

// df is how many degrees of freedom σ has, those of its prior among them.
func (g *given) df() float64 {
	return float64(g.d.blocks-g.d.cells-len(g.d.free)) + g.prior.BlockDF
}

// reducePart sums the cross products of a part, with u and α integrated out, and returns
// ln |A'D⁻¹A|.
func (g *given) reducePart(i int, lambda float64) float64 {
	p, s := &g.d.parts[i], &g.parts[i]
	clear(s.sums)
	logDet := 0.0
	for at := range p.layouts {
		det := p.layouts[at].addReduced(lambda, s.sums, len(p.shoes), g.v, g.m)
		logDet += float64(p.layouts[at].sessions * stats.Log(det))
	}
	return logDet
}

// addPart adds the cross products of a part that is reduced to the total, with the part's w
// integrated out, and returns what ln |A'D⁻¹A| |I+κ²N| is then.
func (g *given) addPart(i int, logDet, kappa2 float64) float64 {
	p, s := &g.d.parts[i], &g.parts[i]
	if g.d.terms.Runner {
		logDet += s.foldRunner(len(p.shoes), kappa2)
	}
	g.addToTotal(p.shoes, s)
	return logDet
}

// addReduced adds the cross products of sessions of one layout to the sums (shoes of the part
// first), with u and α integrated out, and returns |A'D⁻¹A| of one of them. v and m are scratch.
//
// With g_j = 1/(1+λ n_j), counts n_aj and sums Q_j of a column q over the blocks of shoe j:
//
//	e_j'D⁻¹e_j = n_j g_j,  e_j'D⁻¹q = g_j Q_j,  p'D⁻¹q = Σ p q - λ Σ g_j P_j Q_j,
//	a'D⁻¹e_j = n_aj g_j,   a'D⁻¹q = -λ Σ g_j n_aj Q_j   (q is centred within levels).
func (s *layoutSums) addReduced(lambda float64, sums []float64, offset int, v, m []float64) float64 {
	k, levels := len(s.shoes), s.levels
	wide := 2 * k
	v = v[:levels*wide] // a'D⁻¹e_j, then λ g_j n_aj
	clear(v)
	chol := stats.Cholesky{N: levels, L: m[:levels*levels]}
	clear(chol.L)
	// The intercepts' own products and those with the columns.
	for j, nj := range s.blocks {
		shrink := 1 / (1 + float64(lambda*nj))
		pull := float64(lambda * shrink)
		for a := range levels {
			naj := s.counts[a*k+j]
			if naj == 0 {
				continue
			}
			v[a*wide+j] = float64(naj * shrink)
			v[a*wide+k+j] = float64(pull * naj)
			chol.L[a*levels+a] += float64(naj * float64(float64(1+float64(lambda*(nj-naj)))*shrink))
			for b := range a {
				chol.L[a*levels+b] -= float64(pull * float64(naj*s.counts[b*k+j]))
			}
		}
	}
	det := eliminateLevels(chol, v, wide)
	s.addProducts(lambda, sums, offset, v)
	return det
}

// eliminateLevels replaces v, levels x columns, by L⁻¹ v and returns the determinant.
func eliminateLevels(chol stats.Cholesky, v []float64, wide int) float64 {
	levels := chol.N
	chol.Factor()
	det := 1.0
	for a := range levels {
		pivot := chol.L[a*levels+a]
		det = float64(det * float64(pivot*pivot))
		row := v[a*wide : (a+1)*wide]
		for b := range a {
			f := chol.L[a*levels+b]
			for c, x := range v[b*wide : (b+1)*wide] {
				row[c] -= float64(f * x)
			}
		}
		for c := range row {
			row[c] /= pivot
		}
	}
	return det
}

// addProducts adds the products of the columns less those of the eliminated levels in v.
func (s *layoutSums) addProducts(lambda float64, sums []float64, offset int, v []float64) {
	k := len(s.shoes)
	width, wide := len(s.sums)/k, 2*k
	n, triangle := offset+width, width*(width+1)/2
	columns := sums[offset*n+offset:] // column and column
	for j, at := range s.shoes {
		shrink := 1 / (1 + float64(lambda*s.blocks[j]))
		// Shoe and shoe are the same in every session, shoe and column linear in the column's sums.
		row := sums[at*n:]
		for i, to := range s.shoes[:j+1] {
			row[to] -= float64(s.sessions * columnProduct(v, wide, j, i))
		}
		row[at] += float64(s.sessions * float64(s.blocks[j]*shrink))
		for i := range s.shoes {
			pulled := columnProduct(v, wide, k+i, j)
			for c := range width {
				sums[(offset+c)*n+at] += float64(pulled * s.sums[i*width+c])
			}
		}
		for c := range width {
			sums[(offset+c)*n+at] += float64(shrink * s.sums[j*width+c])
		}
		// Column and column are quadratic in the sums.
		for i := range s.shoes {
			taken := columnProduct(v, wide, k+j, k+i)
			if i == j {
				taken += float64(lambda * shrink)
			}
			between := s.between[(j*k+i)*triangle:][:triangle]
			for c := range width {
				row := columns[c*n:][:c+1]
				for e, v := range between[:len(row)] {
					row[e] -= float64(taken * v)
				}
				between = between[len(row):]
			}
		}
	}
	for c := range width {
		row := columns[c*n:][:c+1]
		for e, v := range s.cross[c*width:][:len(row)] {
			row[e] += v
		}
	}
}

// columnProduct is the product of two columns of v.
func columnProduct(v []float64, wide, a, b int) float64 {
	if len(v) == wide { // one level
		return float64(v[a] * v[b])
	}
	sum := 0.0
	for ; a < len(v); a, b = a+wide, b+wide {
		sum += float64(v[a] * v[b])
	}
	return sum
}

// sameRunners is κ² below which runners are taken not to differ: there I - V would be rounding.
const sameRunners = 1e-8

// foldRunner integrates w out of a part and returns ln |I+κ²N|. With E the shoe columns, N = E'E
// and V = (I+κ²N)⁻¹, every product p'q becomes p'q - κ² (E'p)'V(E'q), which is
//
//	N V = (I-V)/κ² of shoe and shoe,  V E'q of shoe and column.
func (s *partSums) foldRunner(shoes int, kappa2 float64) float64 {
	if kappa2 < sameRunners {
		kappa2 = 0
	}
	for i := range shoes {
		for j := range i + 1 {
			s.w.L[i*shoes+j] = float64(kappa2 * s.sums[i*s.n+j])
		}
		s.w.L[i*shoes+i]++
	}
	s.w.Factor()
	s.w.Inverse(s.v, shoes)
	if kappa2 == 0 {
		return 0
	}
	for i := range shoes {
		row := s.sums[i*s.n:][:i+1]
		for j, v := range s.v[i*shoes:][:i+1] {
			row[j] = -v / kappa2
		}
		row[i] = (1 - s.v[i*shoes+i]) / kappa2
	}
	// Column and column need what column and shoe were before.
	for c := shoes; c < s.n; c++ {
		row := s.sums[c*s.n:][:c+1]
		copy(s.alone, row)
		for j := range shoes {
			row[j] = product(s.v[j*shoes:(j+1)*shoes], s.alone)
		}
		for e := shoes; e <= c; e++ {
			row[e] -= float64(kappa2 * product(s.alone, s.sums[e*s.n:]))
		}
	}
	return s.w.LogDet(shoes)
}

func product(a, b []float64) float64 {
	sum := 0.0
	for i, v := range a {
		sum += float64(v * b[i])
	}
	return sum
}

// addToTotal adds a part's cross products at the places of its shoes.
func (g *given) addToTotal(shoes []int, s *partSums) {
	j := len(g.d.shoes)
	n := j + len(g.d.columns) + 1
	place := func(c int) int {
		if c < len(shoes) {
			return shoes[c]
		}
		return j + c - len(shoes)
	}
	for c := range s.n {
		row := g.total[place(c)*n:]
		for e := range c + 1 {
			row[place(e)] += s.sums[c*s.n+e]
		}
	}
}

// solveShoes integrates β out, the first shoe of each group held at 0, leaves the products
// of the covariates and y in rest, and returns ln |N_β|.
func (g *given) solveShoes() float64 {
	j, width, free := len(g.d.shoes), len(g.d.columns)+1, len(g.d.free)
	n := j + width
	for i, at := range g.d.free {
		for e, to := range g.d.free[:i+1] {
			g.beta.L[i*free+e] = g.total[at*n+to]
		}
	}
	g.beta.Factor()
	for c := range width {
		row := g.solve[c*free : (c+1)*free]
		for i, at := range g.d.free {
			row[i] = g.total[(j+c)*n+at]
		}
		g.beta.Forward(row, 0)
		for e := range c + 1 {
			g.rest[c*width+e] = g.total[(j+c)*n+j+e] - product(row, g.solve[e*free:(e+1)*free])
		}
	}
	return g.beta.LogDet(free)
}

// solveCovariates finds the posterior mean of the covariates' coefficients and returns the
// residual sum of squares and ln |I+QΛ⁻¹/σ²|.
func (g *given) solveCovariates(s2 float64) (ss, logDet float64) {
	q := len(g.d.columns)
	width := q + 1
	for c, col := range g.d.columns {
		copy(g.coef.L[c*q:c*q+c+1], g.rest[c*width:c*width+c+1])
		precision := s2 / float64(col.sd*col.sd)
		g.coef.L[c*q+c] += precision
		logDet -= stats.Log(precision)
	}
	g.coef.Factor()
	copy(g.mean, g.rest[q*width:q*width+q])
	g.coef.Forward(g.mean, 0)
	ss = g.rest[q*width+q] - product(g.mean, g.mean)
	g.coef.Backward(g.mean)
	return math.Max(0, ss), logDet + g.coef.LogDet(q)
}
