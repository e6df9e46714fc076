package align

import (
	"math"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

var none = units.Missing

func alike(got, want []float64) bool {
	if len(got) != len(want) {
		return false
	}
	for i := range got {
		if units.Known(got[i]) != units.Known(want[i]) || math.Abs(got[i]-want[i]) > 1e-12 {
			return false
		}
	}
	return true
}

// On the line between samples; not across more than 10 s, nor from a sample whose clock stands still
// or goes back.
func TestWholeSeconds(t *testing.T) {
	for _, c := range []struct {
		elapsed, values []float64
		begin           int
		want            []float64
	}{
		{[]float64{0.5, 2.5, 2.5, 2, 4}, []float64{1, 3, 9, 9, 5}, 1, []float64{1.5, 2.5, 3 + 2.0/3, 5}},
		{[]float64{3, 13}, []float64{0, 10}, 3, []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10}},
		{[]float64{-1, 0, 11}, []float64{4, 5, 9}, -1, append([]float64{4, 5, none, none, none, none, none, none, none,
			none, none, none}, 9)},
		{[]float64{0, 1, 2}, []float64{1, none, 3}, 0, []float64{1, 2, 3}},
		{nil, nil, 0, nil},
	} {
		begin, got := everySecond(c.elapsed, c.values)
		if begin != c.begin || !alike(got, c.want) {
			t.Errorf("%v at %v: %v from %d, want %v from %d", c.values, c.elapsed, got, begin, c.want, c.begin)
		}
	}
}

// The median is 3 and the median distance from it 1, so that 5 x 1.4826 to both sides is usual; a
// channel's grain of 2 makes it 10.
func TestUnusualValuesArePulledIn(t *testing.T) {
	for grain, reach := range map[float64]float64{0.1: 7.413, 2: 10} {
		values := []float64{1, -50, none, 3, 4, 100, 3, 2}
		winsorise(values, grain)
		if want := []float64{1, 3 - reach, none, 3, 4, 3 + reach, 3, 2}; !alike(values, want) {
			t.Errorf("grain %v: %v, want %v", grain, values, want)
		}
	}
}

func TestMovingMeanByHand(t *testing.T) {
	if got := movingMean([]float64{1, 2, none, 6, none, none, none}, 1); !alike(got,
		[]float64{1.5, 1.5, 4, 6, 6, none, none}) {
		t.Errorf("%v", got)
	}
}

// Pearson's r of 1 2 3 4 5 and 2 1 4 3 7 is 12/√(10 x 21.2), with b's clock 3 s behind and a second
// missing in each, whose partner must not count.
func TestCorrelationByHand(t *testing.T) {
	a := signal{10, []float64{9, 1, 2, 0, 3, 4, 5, 8}, []float64{1, 1, 1, 0, 1, 1, 1, 1}}
	b := signal{8, []float64{2, 1, 6, 4, 3, 7, 0}, []float64{1, 1, 1, 1, 1, 1, 0}}
	want := 12 / math.Sqrt(10*21.2)
	for _, c := range []struct {
		from, to, need int
		want           float64
	}{{math.MinInt, math.MaxInt, 5, want}, {math.MinInt, math.MaxInt, 6, none}, {11, 17, 5, want}, {12, 17, 5, none},
		{11, 13, 2, -1}} {
		if got := correlation(a, b, 3, c.from, c.to, c.need); !alike([]float64{got}, []float64{c.want}) {
			t.Errorf("from %d to %d with %d: %v, want %v", c.from, c.to, c.need, got, c.want)
		}
	}
	if n := pairs(a, b, 3); n != 5 {
		t.Errorf("%d seconds are known to both, want 5", n)
	}
	if lo, hi := shared(a, b, 3); lo != 11 || hi != 18 {
		t.Errorf("shared from %d to %d, want 11 to 18", lo, hi)
	}
	if got := (signal{0, []float64{3, 0, -4}, []float64{1, 0, 1}}).spread(); math.Abs(got-math.Sqrt(12.5)) > 1e-12 {
		t.Errorf("spread %v, want the root of 25/2", got)
	}
}

// Three points of 1 - (x - 2.25)²/10 have their top at 2.25; at an edge or on a slope there is none.
func TestTopOfTheParabola(t *testing.T) {
	at := func(x float64) float64 { return 1 - (x-2.25)*(x-2.25)/10 }
	top, reason := curve{1, []float64{at(1), at(2), at(3), none}}.peak()
	if reason != "" || top.lag != 2 || math.Abs(top.at-2.25) > 1e-12 || top.height != at(2) {
		t.Errorf("%+v, %q", top, reason)
	}
	for want, r := range map[string][]float64{"0.90, at the edge of the search, -1 s": {0.9, 0.5, 0.1},
		"0.80, at the edge of the search, 1 s": {0.1, 0.5, 0.8}, "edge of the search": {0.9, 0.9, 0.9}} {
		if top, reason := (curve{-1, r}).peak(); !strings.Contains(reason, want) {
			t.Errorf("%v: %+v, %q", r, top, reason)
		}
	}
	if top, reason := (curve{-1, []float64{none, none, none}}).peak(); !strings.Contains(reason,
		"share less than 300 s") {
		t.Errorf("%+v, %q", top, reason)
	}
}

// The hill of the peak of 0.9 ends at its low points, 0.1 and 0.4: what is higher beyond them
// is the next best.
func TestRunnerUpByHand(t *testing.T) {
	for _, c := range []struct {
		r     []float64
		r1, s float64
	}{
		{[]float64{0.2, 0.6, 0.1, 0.3, 0.9, 0.5, 0.4, 0.45, 0.3}, 0.6, -3},
		{[]float64{0.1, 0.05, 0.43, 0.3, 0.9, 0.3, 0.35, 0.2, 0.1}, 0.43, -2},
		{[]float64{0.2, 0.4, 0.1, 0.3, 0.9, 0.5, 0.4, 0.45, 0.3}, 0.45, 3},
		{[]float64{0.5, 0.6, 0.7, 0.8, 0.9, 0.7, 0.5, 0.6, 0.2}, 0, none},
		{[]float64{0.5, 0.6, 0.7, 0.8, 0.9, 0.8, 0.7, 0.6, 0.5}, 0, none},
	} {
		if r, at := (curve{-4, c.r}).runnerUp(0); !alike([]float64{r, at}, []float64{c.r1, c.s}) {
			t.Errorf("%v: %v at %v, want %v at %v", c.r, r, at, c.r1, c.s)
		}
	}
}

// A correlation of 0.5 leaves 0.75 of the variance and one of 0.25 leaves 0.9375, which is 1.25 times
// as much and just enough; less than 0.05 left is taken for 0.05.
func TestDoubtAtItsLimits(t *testing.T) {
	for _, c := range []struct {
		peak, next float64
		want       string
	}{{0.5, 0.25, ""}, {0.5, 0.26, "two offsets"}, {0.49, 0, "below 0.5"}, {0.5, -0.9, ""}, {0.99, 0.98, "two offsets"},
		{0.999, 0.96, ""}, {0.999, 0.97, "two offsets"}} {
		m := Match{Peak: c.peak, RunnerUp: c.next}
		if got := m.doubt(); (got == "") != (c.want == "") || !strings.Contains(got, c.want) {
			t.Errorf("peak %v and next %v: %q, want %q", c.peak, c.next, got, c.want)
		}
	}
}

// Within a minute of either end nothing is known, for want of what lies beyond.
func TestEndsOfASignal(t *testing.T) {
	s := &trial.Samples{}
	for i := range 200 {
		s.Elapsed = append(s.Elapsed, float64(i+5))
		s.Values[trial.CadenceSpm] = append(s.Values[trial.CadenceSpm], 170+float64(i%2))
	}
	got := newSignal(s, trial.CadenceSpm, 1)
	if got.begin != 5 || got.count() != 80 || got.known[59] != 0 || got.known[60] != 1 || got.known[139] != 1 ||
		got.known[140] != 0 {
		t.Errorf("from %d, %d known", got.begin, got.count())
	}
}
