package stats

import (
	"fmt"
	"math"
	"testing"
)

func choleskyOf(n int, s ...float64) Cholesky {
	c := Cholesky{n, s}
	c.Factor()
	return c
}

// [4 2; 2 3] = L L' with L = [2 0; 1 √2]; a third row and column ride along, and what is
// above the diagonal is neither read nor written.
func TestCholesky(t *testing.T) {
	c := choleskyOf(3, 4, 9, 9, 2, 3, 9, 6, 5, 11)
	for i, want := range []float64{2, 9, 9, 1, math.Sqrt2, 9, 3, math.Sqrt2, 0} {
		within(t, fmt.Sprint("L ", i), c.L[i], want, 1e-15+boolFloat(i == 8)*1e-7)
	}
	near(t, "log determinant", c.LogDet(2), math.Log(8), 1e-15)
	inv := c.Inverse([]float64{7, 7, 7, 7}, 2)
	for i, want := range []float64{3. / 8, -2. / 8, -2. / 8, 4. / 8} {
		near(t, fmt.Sprint("inverse ", i), inv[i], want, 1e-15)
	}
	zero := choleskyOf(1, 0)
	if !(zero.L[0] > 0 && zero.L[0] < 1e-100) {
		t.Errorf("pivot of a zero matrix %v", zero.L[0])
	}
	if d := choleskyOf(2, 1, 0, 1, 1).row(1)[1]; !(d > 0 && d < 1e-15) {
		t.Errorf("last pivot of a singular matrix %v", d)
	}
}

// The leading part of a matrix times its inverse is the identity, whether its rows are solved for four
// at a time or alone; the inverse is symmetric to the last bit.
func TestInverse(t *testing.T) {
	const n, k = 8, 7
	whole, c := make([]float64, n*n), Cholesky{n, make([]float64, n*n)}
	for i := range n {
		for j := range i + 1 {
			whole[i*n+j] = 1 / float64(1+i+j)
			if i == j {
				whole[i*n+j]++
			}
			whole[j*n+i] = whole[i*n+j]
		}
	}
	copy(c.L, whole)
	c.Factor()
	inverse := c.Inverse(make([]float64, k*k), k)
	for i := range k {
		for j := range k {
			product := dot(inverse[i*k:(i+1)*k], whole[j*n:])
			within(t, fmt.Sprintf("product %d, %d", i, j), product, boolFloat(i == j), 1e-15)
			if inverse[i*k+j] != inverse[j*k+i] {
				t.Errorf("%d, %d is %v, and mirrored %v", i, j, inverse[i*k+j], inverse[j*k+i])
			}
		}
	}
}

func boolFloat(b bool) float64 { return float64(boolToInt(b)) }

func TestGrowing(t *testing.T) {
	s := []float64{4, 2, 4, 2, 3, 2, 4, 2, 4} // column 2 is column 0
	g := &growing{}
	if !g.tryAdd(s, 3, 0, nil, 1e-12) || !g.tryAdd(s, 3, 1, []int{0}, 1e-12) || g.tryAdd(s, 3, 2, []int{0, 1}, 1e-12) {
		t.Fatal("accepted the wrong columns")
	}
	b := []float64{4, 2}
	g.solve(b)
	within(t, "first", b[0], 1, 1e-15)
	within(t, "second", b[1], 0, 1e-15)
	b = []float64{0, 1}
	g.solve(b)
	near(t, "first", b[0], -2./8, 1e-15)
	near(t, "second", b[1], 4./8, 1e-15)
	if (&growing{}).tryAdd([]float64{0}, 1, 0, nil, 0) {
		t.Error("accepted a column of zeros")
	}
}

// By hand, with a stride of 3 around a 2 by 2 part.
func TestForms(t *testing.T) {
	s := []float64{1, 2, 9, 3, 4, 9, 7, 8, 9}
	v := times(s, []float64{5, 6}, 3)
	if v[0] != 17 || v[1] != 39 || v[2] != 83 {
		t.Errorf("times %v", v)
	}
	near(t, "bilinear", bilinear([]float64{1, 10}, s, []float64{5, 6}, 3), 17+390, 0)
	near(t, "quadratic", quadraticForm([]float64{1, 2, 3}, s), 1+4+27+6+16+54+21+48+81, 0)
	a := []float64{1, 2, 5, 7}
	near(t, "trace", traceOfProduct(a, s, 2, 3), 1*1+2*3+5*2+7*4, 0)
	p := product(a, s, 2, 3)
	for i, want := range []float64{7, 10, 26, 38} {
		near(t, fmt.Sprint("product ", i), p[i], want, 0)
	}
	near(t, "trace of a square", traceOfSquare(a, []float64{1, 2, 3, 4}, 2), 1+6+10+28, 0)
}

// 2 H⁻¹ by hand; a singular H has none, whatever its scale.
func TestTwiceInverse(t *testing.T) {
	v := VarianceCov{4, 1, 3}.twiceInverse()
	near(t, "BB", v.BB, 6./11, 1e-15)
	near(t, "BW", v.BW, -2./11, 1e-15)
	near(t, "WW", v.WW, 8./11, 1e-15)
	if v := (VarianceCov{1e8, 0, 1e-9}).twiceInverse(); v.BB != 2e-8 {
		t.Errorf("on unequal scales: %+v", v)
	}
	for _, singular := range []VarianceCov{{4, 2, 1}, {0, 0, 0}, {4e9, 2, 1e-9}, {1, 1, 1 + 1e-14}} {
		if v := singular.twiceInverse(); !math.IsNaN(v.BB) || !math.IsNaN(v.BW) || !math.IsNaN(v.WW) {
			t.Errorf("inverse of singular %+v: %+v", singular, v)
		}
	}
	near(t, "quadratic", VarianceCov{4, 1, 3}.quadratic(2, 5), 16+20+75, 0)
	if s := (VarianceCov{4, 1, 3}).times(3); s.BB != 36 || s.BW != 9 || s.WW != 27 ||
		s.scaled(3) != (VarianceCov{4, 1, 3}) {
		t.Errorf("%+v", s)
	}
}

func TestNorm(t *testing.T) {
	for _, c := range []struct {
		x    []float64
		want float64
	}{
		{nil, 0}, {[]float64{0, 0}, 0}, {[]float64{3, -4}, 5}, {[]float64{3e200, 4e200}, 5e200},
		{[]float64{3e-200, 4e-200}, 5e-200}, {[]float64{1, -inf}, inf}, {[]float64{5e-324},
			5e-324}, {[]float64{0x3p-1070, 0x4p-1070}, 0x5p-1070}, {[]float64{0x3p1020, 0x4p1020}, 0x5p1020},
		{[]float64{nan, inf}, inf}, {[]float64{0, nan}, nan},
	} {
		if got := norm(c.x); !math.IsNaN(c.want) || !math.IsNaN(got) {
			near(t, fmt.Sprint("norm of ", c.x), got, c.want, 1e-15)
		}
	}
}

func TestMatrix(t *testing.T) {
	m := NewMatrix(2, 3)
	m.Set(1, 2, 5)
	m.Set(0, 1, 7)
	if m.At(1, 2) != 5 || m.Data[5] != 5 || m.Row(0)[1] != 7 || len(m.Row(1)) != 3 || cap(m.Row(0)) != 3 ||
		m.column(2)[1] != 5 || len(m.column(0)) != 2 {
		t.Errorf("%+v", m)
	}
}
