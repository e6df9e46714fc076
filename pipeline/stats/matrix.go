package stats

import "fmt"

// Matrix is a dense matrix stored row after row: element (i, j) is Data[i*Cols+j].
type Matrix struct {
	Rows, Cols int
	Data       []float64
}

// NewMatrix returns a matrix of zeros.
func NewMatrix(rows, cols int) Matrix {
	return Matrix{Rows: rows, Cols: cols, Data: make([]float64, rows*cols)}
}

// At returns element (i, j).
func (m Matrix) At(i, j int) float64 { return m.Data[i*m.Cols+j] }

// Set replaces element (i, j).
func (m Matrix) Set(i, j int, v float64) { m.Data[i*m.Cols+j] = v }

// Row returns row i, sharing memory with the matrix.
func (m Matrix) Row(i int) []float64 { return m.Data[i*m.Cols : (i+1)*m.Cols : (i+1)*m.Cols] }

// column returns a copy of column j.
func (m Matrix) column(j int) []float64 {
	c := make([]float64, m.Rows)
	for i := range c {
		c[i] = m.At(i, j)
	}
	return c
}

// checkRegression refuses what no data can excuse: lengths that differ and entries
// that are not finite.
func checkRegression(x Matrix, y []float64) error {
	switch {
	case len(x.Data) != x.Rows*x.Cols:
		return fmt.Errorf("matrix of %d by %d holds %d numbers", x.Rows, x.Cols, len(x.Data))
	case x.Rows != len(y):
		return fmt.Errorf("%d rows but %d responses", x.Rows, len(y))
	}
	if i := firstNotFinite(y); i >= 0 {
		return fmt.Errorf("response %d is not a finite number", i)
	}
	if i := firstNotFinite(x.Data); i >= 0 {
		return fmt.Errorf("row %d, column %d is not a finite number", i/x.Cols, i%x.Cols)
	}
	return nil
}

// firstNotFinite returns the index of the first NaN or infinity, or -1.
func firstNotFinite(x []float64) int {
	for i, v := range x {
		if v-v != 0 {
			return i
		}
	}
	return -1
}

// dot returns the sum of a[i] b[i] from index 0 upward, over the length of a.
func dot(a, b []float64) float64 {
	b = b[:len(a)]
	s := 0.0
	for i, v := range a {
		s += float64(v * b[i])
	}
	return s
}

// dot4 returns the four sums dot(a, b[k*stride:]). Each is summed as by dot; a processor works
// on four sums at a time about as fast as on one.
func dot4(a, b []float64, stride int) (s0, s1, s2, s3 float64) {
	b0, b1, b2, b3 := b[:len(a)], b[stride:][:len(a)], b[2*stride:][:len(a)], b[3*stride:][:len(a)]
	for i, v := range a {
		s0 += float64(v * b0[i])
		s1 += float64(v * b1[i])
		s2 += float64(v * b2[i])
		s3 += float64(v * b3[i])
	}
	return s0, s1, s2, s3
}

// addScaled adds f times b to a, over the length of b.
func addScaled(a []float64, f float64, b []float64) {
	a = a[:len(b)]
	for i, v := range b {
		a[i] += float64(f * v)
	}
}
