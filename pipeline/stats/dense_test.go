package stats

import (
	"fmt"
	"math"
	"slices"
)

// Least squares and the mixed model of a dense design by Householder's QR: the second,
// independent way that the tests hold [REMLAbsorbed] to. Both are held to published results.

// denseREML fits y = X b + Z u + e with a random intercept for each group by restricted maximum
// likelihood. group[i] is any label of the group of row i. The ratio σb²/σ² is the root of
// the profiled score to full precision; a maximum at zero, groups that repeat nothing and
// the like are results with a status, not errors.
//
// X is dense and may be rank deficient, as for [leastSquares]. The error says which lengths
// differ or which entry is not finite.
//
// Method: an orthonormal basis of X by QR, the response replaced by its least squares
// residual, and cross products within and between groups kept apart so that nothing cancels
// for large ratios (Patterson & Thompson 1971; Searle, Casella & McCulloch 1992, ch. 6).
func denseREML(x Matrix, y []float64, group []int) (*Mixed, error) {
	if len(group) != len(y) {
		return nil, fmt.Errorf("mixed model: %d group labels but %d responses", len(group), len(y))
	}
	ols, err := leastSquares(x, y)
	if err != nil {
		return nil, fmt.Errorf("mixed model: %w", err)
	}
	ids, of, size := numberGroups(group)
	p := ols.Rank
	cols := append(ols.qr.orthonormal(), ols.Residuals)
	means := groupMeans(cols, of, size)
	removeMeans(cols, means, of)
	l := &likelihood{p: p, groups: len(ids), rows: len(y), rank: p, within: crossProducts(cols).Data}
	l.between = newGroupsBySize(means, size)
	for k := range p {
		l.logBasis += float64(2 * Log(math.Abs(ols.qr.r[k][k])))
	}
	inner := withinRank(x, ols.qr.order[:p], of, size)
	l.betweenDF, l.withinDF = l.groups+inner-p, l.rows-l.groups-inner
	whole := norm(y)
	m := l.fit(negligible(ols.ResidualSS, whole), negligible(l.within[len(l.within)-1], whole), largestOf(size))
	m.GroupIDs, m.Effects = ids, denseEffects(m, means, size)
	m.basis = denseBasis{ols.qr, ols.coef, m.at}
	m.Aliased = ols.Aliased
	m.Coef = denseCoefficients(m, ols)
	return m, nil
}

// orthonormal returns the first rank columns of Q.
func (f *qr) orthonormal() [][]float64 {
	cols := make([][]float64, f.rank)
	for k := range cols {
		cols[k] = make([]float64, f.n)
		cols[k][k] = 1
		f.reflectBack(cols[k])
	}
	return cols
}

// newGroupsBySize sums the products of group means over groups of equal size.
func newGroupsBySize(means Matrix, size []float64) *groupsBySize {
	width := means.Cols
	b := &groupsBySize{width: width, size: slices.Compact(slices.Sorted(slices.Values(size)))}
	b.count = make([]float64, len(b.size))
	for range b.size {
		b.square = append(b.square, make([]float64, width*width))
	}
	for g, n := range size {
		k, _ := slices.BinarySearch(b.size, n)
		b.count[k]++
		m := means.Row(g)
		for j, v := range m {
			addScaled(b.square[k][j*width:], v, m)
		}
	}
	return b
}

// withinRank counts the independent columns among the given ones after group means are
// taken out, against the size of the whole columns.
func withinRank(x Matrix, columns, of []int, size []float64) int {
	cols := make([][]float64, len(columns))
	whole := make([]float64, len(columns))
	for k, j := range columns {
		cols[k] = x.column(j)
		whole[k] = norm(cols[k])
	}
	removeMeans(cols, groupMeans(cols, of, size), of)
	return factorAgainst(cols, x.Rows, whole).rank
}

// denseEffects returns the predicted intercepts, λ ω times the group mean of the residuals.
func denseEffects(m *Mixed, means Matrix, size []float64) []float64 {
	out := make([]float64, len(size))
	for g, n := range size {
		w := n / (1 + float64(n*m.at.lambda))
		out[g] = float64(m.at.lambda * w * dot(m.at.v, means.Row(g)))
	}
	return out
}

// denseBasis maps contrasts to the orthonormal basis.
type denseBasis struct {
	qr  *qr
	ols []float64 // least squares coefficients by place
	at  profileLikelihood
}

func (d denseBasis) reduce(c []float64) (core []float64, value float64, estimable bool) {
	z, ok := d.qr.rowSpace(c)
	if !ok {
		return nil, 0, false
	}
	value = dot(z, d.ols)
	d.qr.forwardSolve(z)
	return z, value - dot(z, d.at.v), true
}

func denseCoefficients(m *Mixed, ols Fit) []float64 {
	b := make([]float64, ols.Rank)
	for k := range b {
		b[k] = -m.at.v[k]
	}
	ols.qr.backSolve(b)
	out := append([]float64(nil), ols.Coef...)
	for k, v := range b {
		out[ols.qr.order[k]] += v
	}
	return out
}

func (b *groupsBySize) addTo(s *betweenProducts, lambda float64) {
	for i, n := range b.size {
		w, k := n/(1+float64(n*lambda)), b.count[i]
		s.logV += float64(k * Log1p(float64(n*lambda)))
		addScaled(s.xBx, w, b.square[i])
		if s.depth < depthScore {
			continue
		}
		w2 := float64(w * w)
		s.trB += float64(k * w)
		addScaled(s.xBBx, w2, b.square[i])
		if s.depth < depthInformation {
			continue
		}
		w3 := float64(w2 * w)
		s.trB2 += float64(k * w2)
		s.trBNB += float64(k*w2) / n
		s.trBNBN += float64(k*w2) / n / n
		addScaled(s.xBBBx, w3, b.square[i])
		addScaled(s.xBNBx, w2/n, b.square[i])
		addScaled(s.xBNBNBx, w3/n/n, b.square[i])
		addScaled(s.xBBNBx, w3/n, b.square[i])
	}
}

// leastSquares fits y = X b by Householder QR without forming normal equations.
// Columns that depend on earlier ones to within [RankTolerance] are aliased and do not
// take part. One step of refinement, with residuals computed as if in twice the working
// precision, keeps the digits when y is large beside its residuals.
//
// The error says which lengths differ or which entry is not finite. Too few rows are
// not an error: the later columns are then aliased.
func leastSquares(x Matrix, y []float64) (Fit, error) {
	if err := checkRegression(x, y); err != nil {
		return Fit{}, fmt.Errorf("least squares: %w", err)
	}
	cols := make([][]float64, x.Cols)
	for j := range cols {
		cols[j] = x.column(j)
	}
	f := factor(cols, x.Rows)
	b := make([]float64, f.rank)
	res := append([]float64(nil), y...)
	for range 3 {
		addScaled(b, 1, f.solve(append([]float64(nil), res...)))
		res = exactResiduals(x, y, f, b)
	}
	return newFit(x, y, f, b, f.project(res)), nil
}

// exactResiduals returns y - X b, each rounded once.
func exactResiduals(x Matrix, y []float64, f *qr, b []float64) []float64 {
	r := make([]float64, len(y))
	for i := range r {
		s := exactSum{hi: y[i]}
		row := x.Row(i)
		for k, v := range b {
			s.addProduct(-row[f.order[k]], v)
		}
		r[i] = s.value()
	}
	return r
}

// project removes from r what the columns still explain: the rounding of b.
func (f *qr) project(r []float64) []float64 {
	f.reflectFrom(0, r)
	clear(r[:f.rank])
	f.reflectBack(r)
	return r
}

func newFit(x Matrix, y []float64, f *qr, b, res []float64) Fit {
	fit := Fit{
		Coef: make([]float64, x.Cols), Aliased: make([]bool, x.Cols),
		Rank: f.rank, ResidualDF: x.Rows - f.rank,
		ResidualSS: dot(res, res), Sigma: math.NaN(),
		Residuals: res, Leverages: f.leverages(), qr: f, coef: b,
	}
	for k, j := range f.order {
		if fit.Aliased[j] = k >= f.rank; fit.Aliased[j] {
			fit.Coef[j] = math.NaN()
		} else {
			fit.Coef[j] = b[k]
		}
	}
	if fit.ResidualDF == 0 || negligible(fit.ResidualSS, norm(y)) {
		fit.ResidualSS = 0
		clear(fit.Residuals)
	}
	if fit.ResidualDF > 0 {
		fit.Sigma = math.Sqrt(fit.ResidualSS / float64(fit.ResidualDF))
	}
	return fit
}

// Contrast returns the estimate of c'b, where c has one entry for each column. It is
// estimable also across aliased columns when c lies in the row space of X, checked to
// 1e-7 of the largest term. A c of another length is not estimable.
func (f Fit) Contrast(c []float64) Estimate {
	if f.qr == nil || len(c) != len(f.Coef) || firstNotFinite(c) >= 0 {
		return notEstimable()
	}
	z, ok := f.qr.rowSpace(c)
	if !ok {
		return notEstimable()
	}
	e := Estimate{Value: dot(z, f.coef), DF: float64(f.ResidualDF), Estimable: true}
	f.qr.forwardSolve(z)
	e.SE = float64(f.Sigma * norm(z))
	return e
}

// factor decomposes the columns, which it overwrites.
func factor(cols [][]float64, n int) *qr {
	whole := make([]float64, len(cols))
	for j, c := range cols {
		whole[j] = norm(c)
	}
	return factorAgainst(cols, n, whole)
}

// factorAgainst is factor with the sizes that count as the whole of each column.
func factorAgainst(cols [][]float64, n int, whole []float64) *qr {
	f := &qr{n: n}
	var aliased []int
	for j, c := range cols {
		if !f.isNew(c, whole[j]) {
			clear(c[f.rank:])
			aliased = append(aliased, j)
			continue
		}
		f.order = append(f.order, j)
		f.push(c)
	}
	first := f.rank
	for _, j := range aliased {
		c := cols[j]
		f.order = append(f.order, j)
		f.r = append(f.r, c[:first])
	}
	return f
}

// reflectBack applies the reflectors in reverse order: it multiplies by Q.
func (f *qr) reflectBack(c []float64) {
	for k := f.rank - 1; k >= 0; k-- {
		addScaled(c[k:], -dot(f.h[k][k:], c[k:]), f.h[k][k:])
	}
}

// solve returns the coefficients, in the order of places, of the least squares fit to
// y, and overwrites y with Q'y.
func (f *qr) solve(y []float64) []float64 {
	f.reflectFrom(0, y)
	b := make([]float64, f.rank)
	copy(b, y)
	f.backSolve(b)
	return b
}

// backSolve overwrites b with the solution of R11 x = b.
func (f *qr) backSolve(b []float64) {
	for k := f.rank - 1; k >= 0; k-- {
		b[k] /= f.r[k][k]
		addScaled(b, -b[k], f.r[k][:k])
	}
}

// forwardSolve overwrites b with the solution of R11' x = b.
func (f *qr) forwardSolve(b []float64) {
	for k := range f.rank {
		b[k] = (b[k] - dot(f.r[k][:k], b)) / f.r[k][k]
	}
}

// rowSpace splits a contrast over all columns into its part over the independent
// ones, and reports whether it lies in the row space of X: then its entries for
// aliased columns are what their dependence on the others implies.
func (f *qr) rowSpace(c []float64) (z []float64, estimable bool) {
	z = make([]float64, f.rank)
	for k := range z {
		z[k] = c[f.order[k]]
	}
	largest := 0.0
	for _, v := range c {
		largest = math.Max(largest, math.Abs(v))
	}
	for k := f.rank; k < len(f.order); k++ {
		a := append([]float64(nil), f.r[k]...)
		f.backSolve(a)
		size := largest
		for i, v := range a {
			size = math.Max(size, math.Abs(float64(v*z[i])))
		}
		if math.Abs(dot(a, z)-c[f.order[k]]) > float64(1e-7*size) {
			return z, false
		}
	}
	return z, true
}

// leverages returns the squared row norms of the first rank columns of Q.
func (f *qr) leverages() []float64 {
	l := make([]float64, f.n)
	for k := range f.rank {
		e := make([]float64, f.n)
		e[k] = 1
		f.reflectBack(e)
		for i, v := range e {
			l[i] += float64(v * v)
		}
	}
	return l
}

// Fit is a least squares fit.
type Fit struct {
	// Coef holds one coefficient for each column, NaN where Aliased.
	Coef []float64
	// Aliased marks the columns that are combinations of earlier ones.
	Aliased []bool
	// Rank is the number of columns not aliased, ResidualDF rows minus Rank.
	Rank, ResidualDF int
	// ResidualSS is the residual sum of squares, exactly 0 when only the rounding of y is
	// left; Sigma is the root of ResidualSS/ResidualDF, NaN without residual degrees of freedom.
	ResidualSS, Sigma float64
	// Residuals has one entry for each row.
	Residuals []float64
	// Leverages is the diagonal of the hat matrix.
	Leverages []float64

	qr   *qr
	coef []float64 // by place
}
