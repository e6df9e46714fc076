package stats

import "math"

// RankTolerance is how small the part of a column that is new (orthogonal to the
// columns before it) may be, relative to the whole column, before the column counts
// as a combination of the earlier ones.
const RankTolerance = 1e-9

// qr is a Householder factorisation X P = Q R whose permutation P only moves columns
// that depend on earlier ones to the end, so that of several aliased columns the
// later ones go (the convention of LINPACK's dqrdc2 as modified for R).
type qr struct {
	n     int
	order []int       // order[k] is the column of X at place k; the first rank are independent
	rank  int         // number of independent columns
	h     [][]float64 // h[k] holds the reflector of step k from index k on, scaled to norm² 2
	r     [][]float64 // r[k] holds the first rank entries of Q'x for the column at place k
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

// isNew applies the reflectors to a column and reports whether more than rounding is left
// of it.
func (f *qr) isNew(c []float64, whole float64) bool {
	f.reflectFrom(0, c)
	return norm(c[f.rank:]) > float64(RankTolerance*whole)
}

// push makes the reflector that sends c[rank:] to a multiple of the first axis.
func (f *qr) push(c []float64) {
	k := f.rank
	v := make([]float64, f.n)
	copy(v[k:], c[k:])
	alpha := -math.Copysign(norm(v[k:]), v[k])
	v[k] -= alpha
	if s := norm(v[k:]); s > 0 {
		for i := k; i < f.n; i++ {
			v[i] = float64(v[i] / s * math.Sqrt2)
		}
	}
	c[k] = alpha
	f.h = append(f.h, v)
	f.r = append(f.r, c[:k+1])
	f.rank++
}

// reflectFrom applies reflectors k, k+1, ... to c in place.
func (f *qr) reflectFrom(k int, c []float64) {
	for ; k < f.rank; k++ {
		addScaled(c[k:], -dot(f.h[k][k:], c[k:]), f.h[k][k:])
	}
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

// norm returns the Euclidean norm, scaled by a power of two so that it neither overflows
// nor underflows.
func norm(x []float64) float64 {
	m := 0.0
	for _, v := range x {
		if a := math.Abs(v); a > m {
			m = a
		}
	}
	if math.IsInf(m, 1) {
		return m
	}
	_, e := math.Frexp(m)
	e = max(e, -1022) // its inverse is finite
	unit := math.Ldexp(1, -e)
	s := 0.0
	for _, v := range x {
		v = float64(v * unit)
		s += float64(v * v)
	}
	return math.Ldexp(math.Sqrt(s), e)
}
