package plan

import (
	"math"
	"testing"

	"soletrial/pipeline/units"
)

// Pairs of blocks to tell a difference apart, two-sided 5 %, power 80 %: the exact
// power of the paired t test (as R's power.t.test and G*Power calculate it).
func TestPairsNeeded(t *testing.T) {
	for block, want := range map[float64][4]float64{0.5: {7, 4, 3, 3}, 1: {18, 7, 5, 4}, 1.5: {38, 11, 7, 5},
		2: {65, 18, 10, 7}} {
		for i, n := range want {
			if got := (Spread{BlockPct: block}).Pairs(float64(i+1), 0.8, 0.05); got != n {
				t.Errorf("spread %v %%, difference %d %%: %v pairs, want %v", block, i+1, got, n)
			}
		}
	}
}

// The same by standardised difference: 80 and 90 %, two-sided 5 %. The values for
// 0.5 stand in many published tables (34 pairs at 80 %).
func TestPairsByEffect(t *testing.T) {
	for effect, want := range map[float64][2]float64{0.2: {199, 265}, 0.3: {90, 119}, 0.5: {34, 44}, 0.8: {15, 19},
		1: {10, 13}, 1.2: {8, 10}, 1.5: {6, 7}, 2: {5, 5}} {
		s := Spread{BlockPct: 1 / math.Sqrt2}
		if got := [2]float64{s.Pairs(effect, 0.8, 0.05), s.Pairs(effect, 0.9, 0.05)}; got != want {
			t.Errorf("effect %v: %v pairs, want %v", effect, got, want)
		}
		day := Spread{SessionPct: 1 / math.Sqrt2} // the same test with a session for a pair
		if got := day.Sessions(effect, 3, 0.8, 0.05); got != want[0] {
			t.Errorf("effect %v: %v sessions, want %v", effect, got, want[0])
		}
	}
	if got := Literature.Pairs(0, 0.8, 0.05); !math.IsInf(got, 1) {
		t.Errorf("no difference takes %v pairs", got)
	}
}

// 95 % half-width of the mean of k differences of pairs, per 1 % of spread:
// t(k-1, 0.975) sqrt(2/k), t from the standard table.
func TestHalfWidth(t *testing.T) {
	s := Spread{BlockPct: 1}
	for k, want := range map[int]float64{2: 12.706, 3: 3.513, 4: 2.250, 5: 1.756, 6: 1.484, 8: 1.182, 10: 1.012} {
		if got := s.HalfWidth(k, 1, 0.95); math.Abs(got-want) > 5e-4 {
			t.Errorf("%d pairs: %v, want %v", k, got, want)
		}
	}
	if units.Known(s.HalfWidth(1, 4, 0.95)) {
		t.Error("one session has an interval")
	}
	if got := s.HalfWidth(4, 4, 0.95); math.Abs(got-2.250/2) > 5e-4 { // four blocks each halve it
		t.Errorf("four blocks each: %v", got)
	}
	if got := s.SessionsTo(1.5, 1, 0.95, 50); got != 6 {
		t.Errorf("%d sessions to 1.5 %%, want 6", got)
	}
	if got := s.SessionsTo(0.01, 1, 0.95, 50); got != 50 {
		t.Errorf("%d sessions to 0.01 %%, want the limit", got)
	}
}

func TestTable(t *testing.T) {
	table := (Spread{BlockPct: 1, SessionPct: 0.5}).Table([]float64{1, 2}, 2, 0.95)
	if len(table) != 2 || table[0].Pairs80 != 18 || table[1].Pairs80 != 7 ||
		!(table[0].Sessions90 >= table[0].Sessions80 && table[0].Sessions80 > table[1].Sessions80) {
		t.Errorf("the table is %+v", table)
	}
}
