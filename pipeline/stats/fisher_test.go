package stats

import (
	"fmt"
	"testing"
)

// Oracle: mpmath 1.3 at 50 decimal digits, arguments taken as the exact binary numbers.
// The first two rows are the F ratios NIST StRD certifies for SmLs01 and SiRstv.
func TestFTail(t *testing.T) {
	for _, c := range [][4]float64{
		{21.0, 8.0, 180.0, 2.58326433726897139e-22},
		{1.18046237440255, 4.0, 20.0, 0.349447493402192732},
		{1.18046237440255, 8.0, 1800.0, 0.306961828329434747},
		{330.285339234588, 6.0, 9.0, 4.98403052872481049e-10},
		{0.5, 3.0, 5.0, 0.698452637304924173},
		{100.0, 1.0, 3.0, 0.00212839905841415006},
		{10000.0, 2.0, 50.0, 8.34431488550797579e-66},
		{3.3, 0.5, 7.25, 0.114083429429320952},
		{1.01, 5000.0, 5000.0, 0.362502002106270576},
		{5.0, 1.0, 1000000.0, 0.0253475383524690814},
		{0, 1, 2, 1}, {-1, 1, 2, 1}, {inf, 1, 2, 0}, {1, 0, 2, nan}, {1, 1, 0, nan}, {nan, 1, 1, nan}, {1, inf, 1, nan},
		{4, 1, inf, 0.0455002638963584144},
	} {
		near(t, fmt.Sprintf("FTail(%g, %g, %g)", c[0], c[1], c[2]), FTail(c[0], c[1], c[2]), c[3], 1e-12)
	}
}

// F with 1 and df degrees of freedom is the square of Student's t.
func TestFTailIsStudentSquared(t *testing.T) {
	for _, df := range []float64{0.7, 1, 3.5, 12, 4000} {
		for _, x := range []float64{0.01, 0.9, 2, 11} {
			near(t, fmt.Sprintf("FTail(%g², 1, %g)", x, df), FTail(x*x, 1, df), StudentTwoSided(x, df), 1e-12)
		}
	}
}
