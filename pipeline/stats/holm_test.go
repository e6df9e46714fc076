package stats

import (
	"math"
	"testing"
)

// The first row is the worked case of R's documentation style check
// p.adjust(c(0.01, 0.02, 0.03, 0.04), "holm") = 0.04 0.06 0.06 0.06, by arithmetic.
func TestHolm(t *testing.T) {
	for _, c := range []struct{ p, want []float64 }{
		{[]float64{0.01, 0.02, 0.03, 0.04}, []float64{0.04, 0.06, 0.06, 0.06}},
		{[]float64{0.04, 0.01, 0.03, 0.02}, []float64{0.06, 0.04, 0.06, 0.06}},
		{[]float64{0.5, 0.9}, []float64{1, 1}},
		{[]float64{0.01, math.NaN(), 0.02}, []float64{0.02, math.NaN(), 0.02}},
		{nil, nil},
	} {
		got := Holm(c.p)
		for i := range c.want {
			if math.Abs(got[i]-c.want[i]) > 1e-15 || math.IsNaN(got[i]) != math.IsNaN(c.want[i]) {
				t.Errorf("Holm(%v) = %v, want %v", c.p, got, c.want)
			}
		}
	}
}
