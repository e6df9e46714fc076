package stats

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Oracle: mpmath 1.3 at 50 decimal digits, arguments taken as the exact binary numbers.
func TestLog(t *testing.T) {
	for _, c := range [][2]float64{
		{0.5, -0.693147180559945309},
		{0.7, -0.356674943938732442},
		{0.71, -0.342490308946775997},
		{0.7071067811865476, -0.346573590279972586},
		{0.99, -0.0100503358535014502},
		{1.01, 0.00995033085316809164},
		{1.4, 0.336472236621212867},
		{1.4142135623730951, 0.346573590279972723},
		{1.42, 0.350656871613169313},
		{2.0, 0.693147180559945309},
		{3.0, 1.09861228866810969},
		{10.0, 2.30258509299404568},
		{1e-10, -23.0258509299404568},
		{10000000000.0, 23.0258509299404568},
		{5e-324, -744.440071921381262},
		{1.7e+308, 709.726836893228241},
		{1.0000001, 9.99999950583870452e-8},
		{0.9999999, -1.00000004947364743e-7},
		{1, 0}, {0, -inf}, {-1, nan}, {nan, nan}, {inf, inf},
	} {
		near(t, fmt.Sprintf("Log(%g)", c[0]), Log(c[0]), c[1], 2.3e-16)
	}
}

func TestLog1p(t *testing.T) {
	for _, c := range [][2]float64{
		{1e-20, 9.99999999999999945e-21},
		{1e-08, 9.99999995000000054e-9},
		{-1e-08, -1.00000000500000005e-8},
		{0.1, 0.0953101798043248651},
		{-0.1, -0.105360515657826307},
		{0.339, 0.291923066709035472},
		{0.341, 0.293415604299541491},
		{-0.339, -0.414001439130450802},
		{-0.341, -0.417031744479629871},
		{1.0, 0.693147180559945309},
		{-0.9, -2.30258509299404591},
		{100.0, 4.61512051684125945},
		{0, 0}, {-1, -inf}, {-2, nan},
	} {
		near(t, fmt.Sprintf("Log1p(%g)", c[0]), Log1p(c[0]), c[1], 4.5e-16)
	}
}

// u - ln(1+u) = u²/2 - u³/3 + u⁴/4 - ... for small u.
func TestLogDeficit(t *testing.T) {
	for _, u := range []float64{1e-12, -1e-9, 1e-4, -1e-4} {
		want := u * u * (0.5 - u*(1./3-u*(0.25-u/5)))
		near(t, fmt.Sprintf("logDeficit(%g)", u), logDeficit(u, 1+u), want, 1e-15)
	}
	near(t, "logDeficit(3)", logDeficit(3, 4), 3-math.Log(4), 1e-15)
}

func TestLogAgainstLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(1e-300, 1e300).Draw(t, "x")
		if got, want := Log(x), math.Log(x); math.Abs(got-want) > 3e-16*math.Abs(want) {
			t.Fatalf("Log(%v) = %v, library %v", x, got, want)
		}
	})
}
