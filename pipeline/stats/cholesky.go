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
			ri[j] = (s[i*stride+j] - dot(rj[:j], ri[:j])) / rj[j]
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
		b[i] = (b[i] - dot(r[:i], b[:i])) / r[i]
	}
}

// backward overwrites b with the solution of the leading part of L' x = b.
func (c cholesky) backward(b []float64) {
	for i := len(b) - 1; i >= 0; i-- {
		r := c.row(i)
		b[i] /= r[i]
		addScaled(b[:i], -b[i], r[:i])
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
