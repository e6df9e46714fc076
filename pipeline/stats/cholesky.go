package stats

import "math"

// Cholesky is the lower triangle L of a positive definite matrix S = L L' of N rows.
type Cholesky struct {
	N int
	L []float64 // N x N, row after row; above the diagonal, anything
}

// Factor replaces the lower triangle of S, which L holds at first, by that of L. A pivot
// that rounding made negative or zero is kept tiny instead.
func (c Cholesky) Factor() {
	// Four rows at a time, as far as the rows above them reach; then each by itself.
	for from := 0; from < c.N; from += 4 {
		to := min(from+4, c.N)
		if to == from+4 {
			four := c.L[from*c.N:]
			for j := range from {
				rj := c.row(j)
				s0, s1, s2, s3 := dot4(rj[:j], four, c.N)
				four[j] = (four[j] - s0) / rj[j]
				four[c.N+j] = (four[c.N+j] - s1) / rj[j]
				four[2*c.N+j] = (four[2*c.N+j] - s2) / rj[j]
				four[3*c.N+j] = (four[3*c.N+j] - s3) / rj[j]
			}
		} else {
			for i := from; i < to; i++ {
				c.factorRow(i, 0, from)
			}
		}
		for i := from; i < to; i++ {
			c.factorRow(i, from, i)
			ri := c.row(i)
			pivot := ri[i] - dot(ri[:i], ri[:i])
			if pivot <= 0 {
				pivot = math.Max(1e-300, float64(1e-32*ri[i]))
			}
			ri[i] = math.Sqrt(pivot)
		}
	}
}

// factorRow finds the entries of row i of L in columns from up to but not with to.
func (c Cholesky) factorRow(i, from, to int) {
	ri := c.row(i)
	for j := from; j < to; j++ {
		rj := c.row(j)
		ri[j] = (ri[j] - dot(rj[:j], ri)) / rj[j]
	}
}

func (c Cholesky) row(i int) []float64 { return c.L[i*c.N : (i+1)*c.N] }

// Forward overwrites b, which is 0 before from, with L⁻¹ b.
func (c Cholesky) Forward(b []float64, from int) {
	for i := from; i < len(b); i++ {
		r := c.row(i)
		b[i] = (b[i] - dot(r[from:i], b[from:])) / r[i]
	}
}

// Backward overwrites b with the solution of the leading len(b) rows of L' x = b.
func (c Cholesky) Backward(b []float64) {
	for i := len(b) - 1; i >= 0; i-- {
		r := c.row(i)
		b[i] /= r[i]
		addScaled(b, -b[i], r[:i])
	}
}

// LogDet returns ln of the determinant of the leading k by k part of S.
func (c Cholesky) LogDet(k int) float64 {
	s := 0.0
	for i := range k {
		s += Log(c.L[i*c.N+i])
	}
	return float64(2 * s)
}

// Inverse puts the inverse of the leading k by k part of S into inv, row after row, and
// returns it: S⁻¹ = L⁻¹' L⁻¹.
func (c Cholesky) Inverse(inv []float64, k int) []float64 {
	// Row i is column i of L⁻¹, which is 0 above its diagonal.
	clear(inv)
	for i := range k {
		inv[i*k+i] = 1
	}
	i := 0
	for ; i+4 <= k; i += 4 {
		c.forwardFour(inv[i*k:(i+4)*k], i)
	}
	for ; i < k; i++ {
		c.Forward(inv[i*k:(i+1)*k], i)
	}
	// Their products go where these columns are 0, and need nothing that an earlier row has given up.
	for i := range k {
		column, j := inv[i*k+i:(i+1)*k], 0
		for ; j+4 <= i; j += 4 {
			s := inv[i*k+j:][:4]
			s[0], s[1], s[2], s[3] = dot4(column, inv[j*k+i:], k)
		}
		for ; j < i; j++ {
			inv[i*k+j] = dot(column, inv[j*k+i:])
		}
		column[0] = dot(column, column)
	}
	// The upper triangle is the lower one.
	for i := range k {
		for j := range i {
			inv[j*k+i] = inv[i*k+j]
		}
	}
	return inv
}

// forwardFour is Forward for the four rows of b, which are 0 before from.
func (c Cholesky) forwardFour(b []float64, from int) {
	n := len(b) / 4
	for i := from; i < n; i++ {
		r := c.row(i)
		s0, s1, s2, s3 := dot4(r[from:i], b[from:], n)
		b[i] = (b[i] - s0) / r[i]
		b[n+i] = (b[n+i] - s1) / r[i]
		b[2*n+i] = (b[2*n+i] - s2) / r[i]
		b[3*n+i] = (b[3*n+i] - s3) / r[i]
	}
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
