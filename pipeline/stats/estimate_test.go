package stats

import (
	"math"
	"testing"
)

// Student (1908), R's output in many texts (reference sheet 11.2).
func TestSleepPairedT(t *testing.T) {
	d := readTable(t, "testdata/student_sleep.csv").num("diff")
	e := MeanOf(d)
	near(t, "mean", e.Value, 1.58, 1e-15)
	near(t, "t", e.T(), 4.062127683382, 1e-12)
	near(t, "df", e.DF, 9, 0)
	near(t, "p", e.P(), 0.00283289019738427, 1e-12)
	lo, hi := e.Interval(0.95)
	near(t, "lo", lo, 0.700114236723018, 1e-12)
	near(t, "hi", hi, 2.459885763276982, 1e-12)
}

func TestMeanOfFew(t *testing.T) {
	if e := MeanOf(nil); e.Estimable || !math.IsNaN(e.Value) {
		t.Errorf("no values: %+v", e)
	}
	if e := MeanOf([]float64{1, nan}); e.Estimable {
		t.Errorf("a missing value: %+v", e)
	}
	if e := MeanOf([]float64{3}); !e.Estimable || e.Value != 3 || !math.IsNaN(e.SE) || e.DF != 0 || !math.IsNaN(e.P()) {
		t.Errorf("one value: %+v", e)
	}
}
