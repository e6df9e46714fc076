package stats

import (
	"fmt"
	"testing"
)

// Oracle: mpmath 1.3 at 50 decimal digits, arguments taken as the exact binary numbers.
func TestLogGamma(t *testing.T) {
	for _, c := range [][2]float64{
		{1e-10, 23.0258509298827352},
		{0.01, 4.5994798780420217},
		{0.3, 1.09579799481807556},
		{0.5, 0.572364942924700087},
		{0.7, 0.260867246531666569},
		{0.99, 0.00585480676470978145},
		{0.999999, 5.77216487385565238e-7},
		{1.000001, -5.77214842387414665e-7},
		{1.3, -0.108174809507860478},
		{1.4999, -0.120785881958493938},
		{1.5, -0.120782237635245222},
		{1.7, -0.0958076974070658738},
		{1.999999, -4.2278401259658537e-7},
		{2.0000001, 4.22784366653249792e-8},
		{2.3, 0.154189454959630475},
		{2.5, 0.28468287047291916},
		{3.0, 0.693147180559945309},
		{5.5, 3.95781396761871629},
		{10.0, 12.8018274800814696},
		{14.9, 24.9241320022172783},
		{15.0, 25.1912211827386815},
		{15.1, 25.4589997509926631},
		{100.0, 359.134205369575399},
		{12345.678, 103959.91990554606},
		{10000000000.0, 220258509288.810581},
		{1e+100, 2.29258509299404572e+102},
		{0, inf}, {-1, nan}, {inf, inf}, {nan, nan},
	} {
		near(t, fmt.Sprintf("LogGamma(%g)", c[0]), LogGamma(c[0]), c[1], 1.5e-15)
	}
	near(t, "LogGamma(1)", LogGamma(1), 0, 0)
	near(t, "LogGamma(2)", LogGamma(2), 0, 0)
}

// Γ(x+1) = x Γ(x), DLMF 5.5.1.
func TestLogGammaRecurrence(t *testing.T) {
	for x := 0.05; x < 40; x += 0.11 {
		within(t, fmt.Sprintf("LogGamma(%g+1)", x), LogGamma(x+1), LogGamma(x)+Log(x), 1e-13)
	}
}

// Stirling's error at 1/2 is ln sqrt(π) + 1/2 - ln sqrt(2π) (exact), and the two
// branches meet at 15.
func TestStirlingError(t *testing.T) {
	near(t, "stirlingError(1/2)", stirlingError(0.5), 0.15342640972002734529, 1e-14)
	near(t, "stirlingError(1)", stirlingError(1), 1-0.91893853320467274178, 1e-14)
	near(t, "stirlingError(14.99)", stirlingError(14.99), stirlingSeries(14.99), 1e-11)
}
