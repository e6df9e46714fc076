package stats

import (
	"fmt"
	"math"
	"testing"
)

// Binomial probabilities; the intervals as R's binom.test.
func TestSignTest(t *testing.T) {
	repeat := func(pos, neg, zero int) (d []float64) {
		for range pos {
			d = append(d, 1)
		}
		for range neg {
			d = append(d, -2)
		}
		return append(d, make([]float64, zero)...)
	}
	for _, c := range []struct {
		pos, neg, zero int
		p, lo, hi      float64
	}{
		{9, 0, 1, 0.00390625, 0.663732883120057, 1}, // sleep
		{13, 2, 0, 0.00738525390625, 0.595397303396628, 0.983424086559916},
		{8, 2, 0, 0.109375, 0.443904537692359, 0.974789273673167},
		{6, 24, 0, 0.00143090635538102, 0.0771355120010656, 0.385666510996607},
		{0, 9, 0, 0.00390625, 0, 1 - 0.663732883120057},
		{5, 5, 3, 1, 0.187086028447398, 0.812913971552602},
		{1, 0, 0, 1, 0.025, 1},
	} {
		s := SignTest(repeat(c.pos, c.neg, c.zero))
		name := fmt.Sprint(c.pos, " of ", c.pos+c.neg)
		if s.Positive != c.pos || s.N != c.pos+c.neg {
			t.Errorf("%s: %+v", name, s)
		}
		near(t, name, s.P, c.p, 1e-12)
		lo, hi := s.Interval(0.95)
		near(t, name+" lo", lo, c.lo, 1e-12)
		near(t, name+" hi", hi, c.hi, 1e-12)
	}
	none := SignTest([]float64{0, nan})
	if lo, hi := none.Interval(0.95); none.N != 0 || !math.IsNaN(none.P) || !math.IsNaN(lo) || !math.IsNaN(hi) {
		t.Errorf("%+v, interval %v to %v", none, lo, hi)
	}
	for _, level := range []float64{0, 1, nan} {
		if lo, hi := SignTest([]float64{1}).Interval(level); !math.IsNaN(lo) || !math.IsNaN(hi) {
			t.Errorf("level %v: %v to %v", level, lo, hi)
		}
	}
}
