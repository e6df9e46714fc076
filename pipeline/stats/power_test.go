package stats

import (
	"fmt"
	"math"
	"testing"
)

// Two-sided 5 % sample sizes, not rounded (reference sheet 11.5, computed there with the
// one-tail algorithm: digits agree to 1e-4).
func TestNeededN(t *testing.T) {
	for _, c := range [][5]float64{ // effect, two groups 80 %, 90 %, pairs 80 %, 90 %
		{0.2, 393.40570, 526.33319, 198.15082, 264.61369},
		{0.5, 63.76561, 85.03128, 33.36713, 43.99548},
		{0.8, 25.52457, 33.82554, 14.30276, 18.44623},
		{1, 16.71472, 22.02109, 9.93785, 12.58546},
		{1.5, 8.06029, 10.40147, 5.68614, 6.86996},
		{2, 5.08999, 6.38676, 4.22072, 4.91242},
	} {
		for i, want := range c[1:] {
			design, power := TwoGroups, 0.8
			if i >= 2 {
				design = Pairs
			}
			if i%2 == 1 {
				power = 0.9
			}
			got := NeededN(design, c[0], power, 0.05)
			near(t, fmt.Sprintf("n for effect %g, column %d", c[0], i), got, want, 1e-5)
			near(t, "its power", Power(design, got, c[0], 0.05), power, 1e-12)
			near(t, "the other way", NeededN(design, -c[0], power, 0.05), got, 1e-12)
		}
	}
}

func TestPower(t *testing.T) {
	// paired, dz = 1 (reference sheet 11.5, the right side only)
	for n, want := range map[float64]float64{4: 0.28855, 5: 0.40132, 6: 0.50682, 8: 0.68083, 10: 0.80310} {
		crit := StudentQuantile(0.975, n-1)
		right, wrong := NoncentralTTail(crit, n-1, math.Sqrt(n)), NoncentralTCDF(-crit, n-1, math.Sqrt(n))
		within(t, fmt.Sprint("power of ", n, " pairs"), right, want, 6e-6)
		near(t, "both sides", Power(Pairs, n, 1, 0.05), right+wrong, 1e-13)
	}
	within(t, "64 in each of two groups", Power(TwoGroups, 64, 0.5, 0.05), 0.8014596, 1e-6)
	within(t, "34 pairs", Power(Pairs, 34, 0.5, 0.05), 0.8077767, 1e-6)
	// no effect: the level; both tails count
	near(t, "no effect", Power(Pairs, 7, 0, 0.05), 0.05, 1e-12)
	near(t, "sign", Power(Pairs, 7, -0.4, 0.05), Power(Pairs, 7, 0.4, 0.05), 1e-13)
	for _, p := range []float64{Power(Pairs, 1.9, 1, 0.05), Power(Pairs, 5, nan, 0.05), Power(Pairs, 5, inf, 0.05),
		Power(Pairs, 5, 1, 0), Power(Pairs, 5, 1, 1), Power(Pairs, nan, 1, 0.05)} {
		if !math.IsNaN(p) {
			t.Errorf("power %v, want none", p)
		}
	}
}

// Detectable dz at 80 % (reference sheet 11.5).
func TestDetectableEffect(t *testing.T) {
	for n, want := range map[float64]float64{3: 3.264, 4: 2.128, 5: 1.682, 6: 1.435, 8: 1.156, 10: 0.996} {
		got := DetectableEffect(Pairs, n, 0.8, 0.05)
		within(t, fmt.Sprint("with ", n, " pairs"), got, want, 6e-4)
		near(t, "its power", Power(Pairs, n, got, 0.05), 0.8, 1e-12)
	}
	near(t, "two pairs", Power(Pairs, 2, DetectableEffect(Pairs, 2, 0.8, 0.05), 0.05), 0.8, 1e-12)
	for _, e := range []float64{
		DetectableEffect(Pairs, 1, 0.8, 0.05), DetectableEffect(Pairs, 5, 0.05, 0.05),
		DetectableEffect(Pairs, 5, 1, 0.05), DetectableEffect(Pairs, 5, 0.8, 0), NeededN(Pairs, 1, 0.04, 0.05),
		NeededN(Pairs, 1, 0.05, 0.05), NeededN(Pairs, inf, 0.8, 0.05), NeededN(Pairs, 1, 1, 0.05),
		NeededN(Pairs, nan, 0.8, 0.05), NeededN(Pairs, 1, 0.8, 0),
	} {
		if !math.IsNaN(e) {
			t.Errorf("%v, want none", e)
		}
	}
	near(t, "huge effect", NeededN(Pairs, 500, 0.8, 0.05), 2, 0)
	near(t, "no effect", NeededN(Pairs, 0, 0.8, 0.05), inf, 0)
	near(t, "tiny effect", NeededN(Pairs, 1e-9, 0.8, 0.05), inf, 0)
}
