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

// negligible reports whether a sum of squares is the rounding to binary numbers of
// responses of the given norm.
func negligible(ss, size float64) bool { return math.Sqrt(ss) <= float64(2e-15*size) }
