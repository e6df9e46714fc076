package decide

import (
	"math"
	"testing"

	"soletrial/pipeline/stats"
)

// A single value that is far too high, as rounding may give one, neither multiplies the nodes nor
// moves the mass: that of a normal density around 1 with an SD of 1/4 is √2π/4.
func TestPeakThatIsASpike(t *testing.T) {
	smooth := func(x float64) float64 { return -8 * (x - 1) * (x - 1) }
	for _, spike := range []float64{0, 0.6, 5, 50, math.Inf(1)} {
		h := locate(1, func(x float64) float64 {
			if x == 1 {
				return smooth(x) + spike
			}
			return smooth(x)
		})
		nodes := 0
		mass := h.walk(0.6, 17, func(x, _, width float64) float64 {
			if nodes++; nodes > 20_000 {
				t.Fatalf("spike of %g: no end of nodes from a peak at %g with an SD of %g", spike, h.mode, h.sd)
			}
			return smooth(x) + width
		})
		// 3e-5 of the mass is below 0.
		within(t, "mass", stats.Exp(mass), math.Sqrt(2*math.Pi)/4, 1e-4)
	}
}
