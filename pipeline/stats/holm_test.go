package stats

import (
	"fmt"
	"testing"
)

// Worked by hand from the definition of Holm (1979).
func TestHolm(t *testing.T) {
	for _, c := range []struct{ p, want []float64 }{
		{nil, nil},
		{[]float64{0.03}, []float64{0.03}},
		{[]float64{0.01, 0.04, 0.03, 0.005}, []float64{0.03, 0.06, 0.06, 0.02}},
		{[]float64{0.5, 0.6, 0.01}, []float64{1, 1, 0.03}},
		{[]float64{0.6, 0.7}, []float64{1, 1}},
		{[]float64{0.02, nan, 0.01}, []float64{0.02, nan, 0.02}},
		{[]float64{0.02, 0.02, 0.02}, []float64{0.06, 0.06, 0.06}},
	} {
		got := Holm(c.p)
		if len(got) != len(c.p) {
			t.Fatalf("Holm(%v) = %v", c.p, got)
		}
		for i, w := range c.want {
			near(t, fmt.Sprintf("Holm(%v)[%d]", c.p, i), got[i], w, 1e-15)
		}
	}
}
