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
	near(t, "dz", StandardisedMean(d), 1.28455756259105, 1e-12)
}

// Equivalence of the sleep differences (reference sheet 11.7).
func TestSleepTOST(t *testing.T) {
	e := MeanOf(readTable(t, "testdata/student_sleep.csv").num("diff"))
	for _, c := range []struct {
		margin, lower, pLower, upper, p float64
		equivalent                      bool
	}{
		{2, 9.20406145981499, 3.55234415924769e-06, -1.07980609305092, 0.154157235669097, false},
		{2.5, 10.4895449039232, 1.20024173818964e-06, -2.36528953715916, 0.0211168602465007, true},
		{0.5, 5.34761112749028, 0.000231902704481593, 2.7766442392738, 0.989240756621613, false},
	} {
		q := TOST(e, c.margin, 0.05)
		near(t, "t lower", q.TLower, c.lower, 1e-12)
		near(t, "p lower", q.PLower, c.pLower, 1e-11)
		near(t, "t upper", q.TUpper, c.upper, 1e-12)
		near(t, "p upper", q.PUpper, c.p, 1e-12)
		near(t, "p", q.P, c.p, 1e-12)
		near(t, "lo", q.Lo, 0.866994732970716, 1e-12)
		near(t, "hi", q.Hi, 2.29300526702928, 1e-12)
		if q.Equivalent != c.equivalent {
			t.Errorf("margin %v: equivalent %v", c.margin, q.Equivalent)
		}
	}
	if r := TOST(Estimate{Value: -1.58, SE: e.SE, DF: 9}, 2, 0.05); r.P != r.PLower || r.P < 0.15 {
		t.Errorf("mirrored: %+v", r)
	}
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
