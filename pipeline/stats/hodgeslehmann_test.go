package stats

import (
	"math"
	"testing"
)

func TestHodgesLehmann(t *testing.T) {
	for _, c := range []struct {
		name                    string
		d                       []float64
		level                   float64
		value, lo, hi, achieved float64
	}{
		// Hollander & Wolfe (1973), pp. 29-35 (reference sheet 11.3): 0.460, (0.010, 0.786)
		{"depression", differences(t, "hollander_wolfe_depression.csv", "before", "after"), 0.95, 0.46, 0.01, 0.786,
			0.9609375},
		{"maize", readTable(t, "testdata/darwin_maize_diffs.csv").num("diff_eighth_inch"), 0.95, 25, 4, 41.5,
			0.95208740234375},
		{"sleep", readTable(t, "testdata/student_sleep.csv").num("diff"), 0.95, 1.3, 0.9, 2.7, 0.951171875},
		// too few for the level: the whole range, and the level says so (2/2^n less than one)
		{"three", []float64{4, 1, 2}, 0.95, 2.25, 1, 4, 0.75},
		{"one", []float64{7}, 0.9, 7, 7, 7, 0},
	} {
		h := HodgesLehmann(c.d, c.level)
		near(t, c.name, h.Value, c.value, 1e-14)
		near(t, c.name+" lo", h.Lo, c.lo, 1e-13)
		near(t, c.name+" hi", h.Hi, c.hi, 1e-14)
		near(t, c.name+" level", h.Level, c.achieved, 1e-14)
	}
	for _, h := range []HodgesLehmannEstimate{HodgesLehmann(nil, 0.95), HodgesLehmann([]float64{nan}, 0.95),
		HodgesLehmann([]float64{1}, 0), HodgesLehmann([]float64{1}, 1), HodgesLehmann([]float64{1}, nan)} {
		if !math.IsNaN(h.Value) || !math.IsNaN(h.Lo) || !math.IsNaN(h.Hi) || !math.IsNaN(h.Level) {
			t.Errorf("%+v, want nothing", h)
		}
	}
}
