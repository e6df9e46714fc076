package stats

import (
	"fmt"
	"math"
	"testing"
)

// Values from the reference sheet, section 11.7.
func TestEffectiveN(t *testing.T) {
	for _, c := range []struct {
		n     int
		rho   float64
		exact float64
	}{
		{100, 0.5, 33.7838}, {300, 0.9, 16.3043}, {300, 0.95, 8.2267}, {10, 0, 10}, {1, 0.7, 1}, {2, 0.5, 4. / 3},
		{3, -0.5, 9. / 1.5}, {10, 0.999999, 1.0000033000},
	} {
		name := fmt.Sprintf("n %d, rho %g", c.n, c.rho)
		near(t, name, EffectiveN(c.n, c.rho), c.exact, 6e-6)
		sum := 0.0
		for k := 1; k < c.n; k++ {
			sum += (1 - float64(k)/float64(c.n)) * math.Pow(c.rho, float64(k))
		}
		near(t, name+" by the sum", EffectiveN(c.n, c.rho), float64(c.n)/(1+2*sum), 1e-12)
	}
	for _, bad := range []struct {
		n   int
		rho float64
	}{{0, 0.5}, {5, 1}, {5, -1}, {5, nan}, {-1, 0}} {
		if !math.IsNaN(EffectiveN(bad.n, bad.rho)) {
			t.Errorf("n %d, rho %v gives a number", bad.n, bad.rho)
		}
	}
}

// By hand: deviations -1.5 -0.5 0.5 1.5, products 0.75 - 0.25 + 0.75 over 5.
func TestLag1(t *testing.T) {
	for _, c := range []struct {
		x    []float64
		want float64
	}{
		{[]float64{1, 2, 3, 4}, 0.25}, {[]float64{1, -1, 1, -1}, -0.75}, {[]float64{1, 2, 4},
			(-4./3*-1./3 + -1./3*5./3) / (42. / 9)},
		{[]float64{2, 2, 2}, nan}, {[]float64{1, 2}, nan}, {[]float64{1, nan, 2}, nan}, {nil, nan},
	} {
		near(t, fmt.Sprint(c.x), Lag1(c.x), c.want, 1e-14)
	}
}
