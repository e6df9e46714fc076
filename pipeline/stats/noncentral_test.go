package stats

import (
	"fmt"
	"testing"
)

// Oracle: the defining integral by mpmath 1.3 at 30 digits.
func TestNoncentralT(t *testing.T) {
	for _, c := range [][4]float64{
		{12.706204736, 1, 3, 0.186108074248781637},
		{4.302652729696, 2, 5, 0.719180535364712929},
		{2.2621571627982, 9, 2.5, 0.60612677898237147},
		{-2.2621571627982, 9, 2.5, 0.999988404780842038},
		{0, 5, 1, 0.841344746068542949},
		{2, 5, 0, 0.0509697394149291781},
		{3, 0.5, 1, 0.399032977948567027},
		{2.0, 100, 4, 0.976438501692080148},
		{1.97, 1000, 2.8, 0.796642436951206257},
		{30, 3, 20, 0.279291034278418664},
		{-4, 3, 0.5, 0.994681317786504019},
		{1.9, 7.5, 0.3, 0.0824108818200076623},
		{1.5, inf, 0.3, 0.115069670221708289},
		{inf, 3, 1, 0}, {-inf, 3, 1, 1},
		{nan, 3, 1, nan}, {1, 0, 1, nan}, {1, -2, 1, nan}, {1, 3, nan, nan}, {1, 3, inf, nan},
	} {
		name := fmt.Sprintf("(%g, %g, %g)", c[0], c[1], c[2])
		near(t, "tail"+name, NoncentralTTail(c[0], c[1], c[2]), c[3], 1e-13)
		near(t, "CDF"+name, NoncentralTCDF(c[0], c[1], c[2]), 1-c[3], 1e-11)
	}
	within(t, "far tail", NoncentralTTail(5, 12, -1), 5.53512940635705963e-6, 1e-15)
}

// Without noncentrality it is Student's t.
func TestNoncentralTAtZero(t *testing.T) {
	for _, df := range []float64{0.4, 1, 3.3, 40, 5000} {
		for _, x := range []float64{-3, 0.2, 1, 8} {
			within(t, fmt.Sprintf("tail(%g, %g, 0)", x, df), NoncentralTTail(x, df, 0), StudentTail(x, df), 1e-13)
		}
	}
}
