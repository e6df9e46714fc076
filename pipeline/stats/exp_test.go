package stats

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Oracle: mpmath 1.3 at 50 decimal digits, arguments taken as the exact binary numbers.
func TestExp(t *testing.T) {
	for _, c := range []struct{ x, exp, expm1 float64 }{
		{0.1, 1.10517091807564763, 0.105170918075647631},
		{0.34, 1.40494759056359383, 0.404947590563593831},
		{0.345, 1.41198991966765904, 0.411989919667659038},
		{-0.3466, 0.70708810694101882, -0.29291189305898118},
		{0.3466, 1.41425091185052867, 0.414250911850528674},
		{1.0, 2.71828182845904524, 1.71828182845904524},
		{-1.0, 0.367879441171442322, -0.632120558828557678},
		{2.5, 12.1824939607034734, 11.1824939607034734},
		{-0.7, 0.496585303791409537, -0.503414696208590463},
		{10.0, 22026.4657948067165, 22025.4657948067165},
		{50.123, 5.86330270947942367e+21, 5.86330270947942367e+21},
		{-50.123, 1.70552340472420451e-22, -1.0},
		{100.0, 2.68811714181613545e+43, 2.68811714181613545e+43},
		{700.5, 1.67218596206749856e+304, 1.67218596206749856e+304},
		{-700.5, 5.98019611863979121e-305, -1.0},
		{1e-05, 1.00001000005000017, 0.0000100000500001666679},
		{-1e-10, 0.9999999999, -9.99999999950000036e-11},
		{709.7, 1.6549840276802644e+308, 1.6549840276802644e+308},
		{-744.0, 7.67194470417997907e-324, -1.0},
	} {
		rel := 2.3e-16
		if c.x < -708 {
			rel = 0.5 // subnormal: one unit is large
		}
		near(t, fmt.Sprintf("Exp(%g)", c.x), Exp(c.x), c.exp, rel)
		near(t, fmt.Sprintf("Expm1(%g)", c.x), Expm1(c.x), c.expm1, 4.5e-16)
	}
	for _, c := range [][2]float64{{nan, nan}, {inf, inf}, {-inf, 0}, {710, inf}, {-746, 0}, {0, 1}} {
		near(t, fmt.Sprintf("Exp(%g)", c[0]), Exp(c[0]), c[1], 0)
	}
}

// The standard library agrees to two units in the last place wherever it is called.
func TestExpAgainstLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(-700, 700).Draw(t, "x")
		if got, want := Exp(x), math.Exp(x); math.Abs(got-want) > 5e-16*want {
			t.Fatalf("Exp(%v) = %v, library %v", x, got, want)
		}
		if got, want := Expm1(x/1000), math.Expm1(x/1000); math.Abs(got-want) > 5e-16*math.Abs(want) {
			t.Fatalf("Expm1(%v) = %v, library %v", x/1000, got, want)
		}
	})
}
