package stats

import (
	"fmt"
	"math"
	"slices"
)

// REML fits y = X b + Z u + e with a random intercept for each group by restricted maximum
// likelihood. group[i] is any label of the group of row i. The ratio σb²/σ² is the root of
// the profiled score to full precision; a maximum at zero, groups that repeat nothing and
// the like are results with a status, not errors.
//
// X is dense and may be rank deficient, as for [LeastSquares]. The error says which lengths
// differ or which entry is not finite.
//
// Method: an orthonormal basis of X by QR, the response replaced by its least squares
// residual, and cross products within and between groups kept apart so that nothing cancels
// for large ratios (Patterson & Thompson 1971; Searle, Casella & McCulloch 1992, ch. 6).
func REML(x Matrix, y []float64, group []int) (*Mixed, error) {
	if len(group) != len(y) {
		return nil, fmt.Errorf("mixed model: %d group labels but %d responses", len(group), len(y))
	}
	ols, err := LeastSquares(x, y)
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

// numberGroups numbers labels in order of first appearance and counts rows.
func numberGroups(label []int) (ids, of []int, size []float64) {
	of = make([]int, len(label))
	number := map[int]int{}
	for i, g := range label {
		k, known := number[g]
		if !known {
			k = len(ids)
			number[g], ids, size = k, append(ids, g), append(size, 0)
		}
		of[i] = k
		size[k]++
	}
	return ids, of, size
}

func largestOf(size []float64) float64 {
	if len(size) == 0 {
		return 1
	}
	return slices.Max(size)
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

// groupMeans returns the mean of every column in every group, one row for each group.
func groupMeans(cols [][]float64, of []int, size []float64) Matrix {
	k := len(cols)
	means := NewMatrix(len(size), k)
	for j, c := range cols {
		for i, v := range c {
			means.Data[of[i]*k+j] += v
		}
	}
	for g, n := range size {
		for j := range k {
			means.Data[g*k+j] /= n
		}
	}
	return means
}

// removeMeans takes the mean of its group from every number.
func removeMeans(cols [][]float64, means Matrix, of []int) {
	for j, c := range cols {
		for i, g := range of {
			c[i] -= means.Data[g*means.Cols+j]
		}
	}
}

// crossProducts returns the products of columns.
func crossProducts(cols [][]float64) Matrix {
	w := NewMatrix(len(cols), len(cols))
	for i, a := range cols {
		for j, b := range cols[:i+1] {
			v := dot(a, b)
			w.Set(i, j, v)
			w.Set(j, i, v)
		}
	}
	return w
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
