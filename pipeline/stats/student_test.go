package stats

import (
	"fmt"
	"gonum.org/v1/gonum/stat/distuv"
	"math"
	"pgregory.net/rapid"
	"testing"
)

// Oracle: mpmath 1.3 at 50 decimal digits, arguments taken as the exact binary numbers.
func TestStudentTail(t *testing.T) {
	for _, c := range [][3]float64{
		{2, 0.1, 0.389177113901638048},
		{100000.0, 0.1, 0.131987244186201065},
		{1e+200, 0.01, 0.00485263285755869994},
		{0.3, 0.5, 0.42242957606524541},
		{3, 1, 0.102416382349566726},
		{0.001, 1, 0.499681690219919441},
		{0.5, 2.5, 0.328848959934857345},
		{4, 2.5, 0.0195064879206591233},
		{2.262157162740992, 9, 0.0250000000023378443},
		{1.73, 7, 0.0636250223883165738},
		{1.74, 7, 0.0627044227680779735},
		{40, 7.3, 4.01856758395686109e-10},
		{10000000000.0, 7, 1.32052067635467693e-68},
		{3, 1000, 0.00138335452211909623},
		{10, 1000, 8.33535147930003315e-23},
		{30, 1000, 7.68734372202174111e-142},
		{0.1, 1000, 0.460182184511802063},
		{1.7, 100000.0, 0.0445670176243314529},
		{1.8, 100000.0, 0.0359318254833306644},
		{20, 1000000.0, 2.86654352369518592e-89},
		{2, 1000000000.0, 0.0227501320831566235},
		{1, 1000000000.0, 0.158655254052442414},
		{37, 1000000000.0, 5.72825842877756956e-300},
		{6, 1000000000000.0, 9.86587645374909639e-10},
		{1.5, 1000000000000000.0, 0.0668072012688582239},
		{35, 60, 6.2734974392248595e-42},
		{0, 3, 0.5}, {inf, 3, 0}, {-inf, 3, 1}, {1, 0, nan}, {1, -1, nan}, {nan, 3, nan}, {1, nan, nan},
		{2, inf, 0.0227501319481792072}, {-1, 1, 0.75},
	} {
		name := fmt.Sprintf("(%g, %g)", c[0], c[1])
		near(t, "StudentTail"+name, StudentTail(c[0], c[1]), c[2], 1e-12)
		near(t, "StudentCDF of minus "+name, StudentCDF(-c[0], c[1]), c[2], 1e-12)
		near(t, "StudentCDF"+name, StudentCDF(c[0], c[1]), 1-c[2], 1e-15)
		if c[0] >= 0 {
			near(t, "StudentTwoSided of minus "+name, StudentTwoSided(-c[0], c[1]), 2*c[2], 1e-12)
		}
	}
}

func TestStudentQuantile(t *testing.T) {
	for _, c := range [][3]float64{
		{0.975, 1.0, 12.7062047361746933},
		{0.975, 2.0, 4.30265272974946179},
		{0.975, 9.0, 2.262157162798205},
		{0.95, 4.7, 2.04381109301378759},
		{0.995, 10.1975162665106, 3.1555690747918067},
		{0.75, 3.0, 0.764892328404345281},
		{0.7501, 3.0, 0.765280928532242177},
		{0.7499, 3.0, 0.764503857109032172},
		{0.6, 0.3, 0.502301282059305023},
		{0.9, 0.3, 64.7865456370969492},
		{0.975, 0.1, 1682362288745.01054},
		{0.975, 1000.0, 1.9623390808264081},
		{0.5001, 3.3, 0.000270104769013531825},
		{1e-10, 3.0, -2225.76928468309319},
		{1e-200, 30.0, -23290831.5079911465},
		{0.025, 100000.0, -1.95998770753460961},
		{0.3, 100000.0, -0.52440218423354574},
		{0, 3, -inf}, {1, 3, inf}, {0.5, 3, 0}, {-0.1, 3, nan}, {1.1, 3, nan}, {0.3, 0, nan}, {0.3, nan, nan},
		{1e-10, 0.01, -inf}, {0.975, inf, 1.95996398454005386},
	} {
		near(t, fmt.Sprintf("StudentQuantile(%g, %g)", c[0], c[1]), StudentQuantile(c[0], c[1]), c[2], 1e-12)
	}
}

// Quantiles to df 12 as in the reference sheet's section 11.7.
func TestStudentQuantileTable(t *testing.T) {
	for i, want := range []float64{12.706205, 4.302653, 3.182446, 2.776445, 2.570582, 2.446912,
		2.364624, 2.306004, 2.262157, 2.228139, 2.200985, 2.178813} {
		within(t, fmt.Sprintf("t(0.975, %d)", i+1), StudentQuantile(0.975, float64(i+1)), want, 5e-7)
	}
}

func TestStudentRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.Float64Range(1e-12, 0.5).Draw(t, "p")
		df := rapid.Float64Range(0.2, 500).Draw(t, "df")
		x := StudentQuantile(p, df)
		if back := StudentCDF(x, df); math.Abs(back-p) > 1e-11*p {
			t.Fatalf("CDF(Quantile(%v, %v)) = %v", p, df, back)
		}
		if up := StudentQuantile(1-p, df); 1-p < 1 && p > 1e-6 && math.Abs(up+x) > 1e-8*math.Abs(x) {
			t.Fatalf("quantiles %v and %v are not opposite", x, up)
		}
	})
}

// gonum's distribution is an independent implementation.
func TestStudentAgainstGonum(t *testing.T) {
	for _, df := range []float64{1, 2.5, 7, 30, 200} {
		g := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}
		for _, x := range []float64{-6, -1.2, -0.1, 0.4, 3} {
			near(t, fmt.Sprintf("StudentCDF(%g, %g)", x, df), StudentCDF(x, df), g.CDF(x), 1e-11)
		}
	}
}
