package forecast

import (
	"testing"

	"soletrial/pipeline/units"
)

// The polynomial of Minetti et al. 2002 (doi 10.1152/japplphysiol.01177.2001) as
// quoted in several public sources; values computed from it outside this module. The
// minimum is where running downhill is cheapest.
func TestMinetti(t *testing.T) {
	for i, want := range map[float64]float64{
		-0.45: 4.032305, -0.2: 1.800032, -0.1: 2.151706, -0.05: 2.745924, -0.01: 3.409673, 0: 3.6,
		0.01: 3.799586, 0.05: 4.685196, 0.1: 5.968214, 0.2: 9.006688, 0.45: 19.426015, -0.181355: 1.781269,
	} {
		near(t, "cost", CostOnGradient(i), want, 1e-6)
	}
	// The paper's own means of ten runners, from its abstract: the curve passes near
	// them (3.40 +- 0.24 on the level, 18.93 +- 1.74 at +45 %, 1.73 +- 0.36 at -20 %).
	for i, mean := range map[float64][2]float64{0: {3.40, 0.24}, 0.45: {18.93, 1.74}, -0.2: {1.73, 0.36},
		-0.45: {3.92, 0.81}} {
		near(t, "measured", CostOnGradient(i), mean[0], mean[1])
	}
	if units.Known(CostOnGradient(0.46)) || units.Known(CostOnGradient(-0.46)) {
		t.Error("a cost beyond 45 %")
	}
}

// 1 % up costs 5.54 % more and 1 % down 5.29 % less than level ground (computed from
// the polynomial): out and back does not cancel.
func TestClimb(t *testing.T) {
	near(t, "up", 100*(CostOnGradient(0.01)/3.6-1), 5.54, 0.01)
	near(t, "down", 100*(CostOnGradient(-0.01)/3.6-1), -5.29, 0.01)
	near(t, "50 m over 10 km", ClimbCostPct(50, 10000), (3.799586+3.409673)/2/3.6*100-100, 1e-4)
	near(t, "level", ClimbCostPct(0, 10000), 0, 1e-12)
	if units.Known(ClimbCostPct(2400, 10000)) {
		t.Error("48 % is a cost")
	}
}
