package stats

import "math"

// cholesky is the lower triangle L of S = L L', by rows.
type cholesky struct {
	n int
	l []float64
}

// choleskyOf factors the leading n by n part of s, whose rows are stride long, reading
// its lower triangle. A pivot that rounding made negative or zero is kept tiny instead.
func choleskyOf(s []float64, n, stride int) cholesky {
	c := cholesky{n, make([]float64, n*n)}
	for i := range n {
		ri := c.row(i)
		for j := 0; j < i; j++ {
			rj := c.row(j)
			ri[j] = (s[i*stride+j] - dot(rj[:j], ri)) / rj[j]
		}
		pivot := s[i*stride+i] - dot(ri[:i], ri[:i])
		if pivot <= 0 {
			pivot = math.Max(1e-300, float64(1e-32*s[i*stride+i]))
		}
		ri[i] = math.Sqrt(pivot)
	}
	return c
}

func (c cholesky) row(i int) []float64 { return c.l[i*c.n : (i+1)*c.n] }

// forward overwrites b with L⁻¹ b.
func (c cholesky) forward(b []float64) {
	for i := range b {
		r := c.row(i)
		b[i] = (b[i] - dot(r[:i], b)) / r[i]
	}
}

// backward overwrites b with the solution of the leading part of L' x = b.
func (c cholesky) backward(b []float64) {
	for i := len(b) - 1; i >= 0; i-- {
		r := c.row(i)
		b[i] /= r[i]
		addScaled(b, -b[i], r[:i])
	}
}

// logDet returns ln of the determinant of the leading k by k part.
func (c cholesky) logDet(k int) float64 {
	s := 0.0
	for i := range k {
		s += Log(c.l[i*c.n+i])
	}
	return float64(2 * s)
}

// inverse returns the inverse of the leading k by k part, by rows.
func (c cholesky) inverse(k int) []float64 {
	inv := make([]float64, k*k)
	for i := range k {
		e := inv[i*k : (i+1)*k]
		e[i] = 1
		c.forward(e)
		c.backward(e)
	}
	return inv
}

// growing is a Cholesky factor that takes one column at a time and may refuse it.
type growing struct {
	rows [][]float64
}

// tryAdd extends the factor of the chosen columns of s by column j, unless the new pivot is
// at most floor.
func (g *growing) tryAdd(s []float64, stride, j int, chosen []int, floor float64) bool {
	r := make([]float64, len(chosen)+1)
	for k, i := range chosen {
		r[k] = (s[j*stride+i] - dot(g.rows[k][:k], r)) / g.rows[k][k]
	}
	k := len(chosen)
	pivot := s[j*stride+j] - dot(r[:k], r[:k])
	if !(pivot > floor) {
		return false
	}
	r[k] = math.Sqrt(pivot)
	g.rows = append(g.rows, r)
	return true
}

// solve overwrites b with the solution of L L' x = b.
func (g *growing) solve(b []float64) {
	for k, r := range g.rows {
		b[k] = (b[k] - dot(r[:k], b)) / r[k]
	}
	for k := len(b) - 1; k >= 0; k-- {
		b[k] /= g.rows[k][k]
		addScaled(b, -b[k], g.rows[k][:k])
	}
}
