package stats

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Oracle: mpmath 1.3 at 50 decimal digits, arguments taken as the exact binary numbers.
func TestIncompleteBeta(t *testing.T) {
	for _, c := range [][4]float64{
		{0.1, 0.5, 0.5, 0.204832764699133458},
		{0.5, 2.0, 3.0, 0.6875},
		{0.01, 10.0, 0.1, 1.32815602649212078e-22},
		{0.9, 10.0, 0.1, 0.0238560507443741151},
		{0.3, 0.001, 5.0, 0.999915289176776502},
		{0.5, 100.0, 100.0, 0.5},
		{0.45, 1000.0, 1000.0, 3.68319886900757828e-6},
		{0.3, 1000.0, 1000.0, 4.2309250369077446e-78},
		{1e-10, 3.0, 7.0, 8.39999999622000092e-29},
		{0.999, 30.0, 0.5, 0.807237306159537031},
		{0.2, 0.05, 0.05, 0.467786129436217643},
		{0.66, 200.5, 99.5, 0.374934761613999558},
		{0.001, 0.5, 300.0, 0.561345731129908803},
		{0, 1, 2, 0}, {1, 1, 2, 1}, {-1, 1, 2, 0}, {2, 1, 2, 1}, {0.5, 0, 1, nan}, {0.5, 1, -1, nan},
		{nan, 1, 1, nan}, {0.5, inf, 1, nan}, {0.5, 1, inf, nan},
	} {
		near(t, fmt.Sprintf("IncompleteBeta(%g, %g, %g)", c[0], c[1], c[2]), IncompleteBeta(c[0], c[1], c[2]), c[3],
			2e-13)
	}
}

// I_x(a,b) = 1 - I_{1-x}(b,a) (DLMF 8.17.4) and it rises with x.
func TestIncompleteBetaReflection(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(0.001, 0.999).Draw(t, "x")
		a := rapid.Float64Range(0.05, 200).Draw(t, "a")
		b := rapid.Float64Range(0.05, 200).Draw(t, "b")
		p, q := IncompleteBeta(x, a, b), IncompleteBeta(1-x, b, a)
		if math.Abs(p+q-1) > 1e-12 {
			t.Fatalf("I_%v(%v,%v) = %v and its reflection %v do not sum to 1", x, a, b, p, q)
		}
		if more := IncompleteBeta(math.Min(1, x*1.01), a, b); more < p-1e-14 {
			t.Fatalf("falls from %v to %v", p, more)
		}
	})
}
