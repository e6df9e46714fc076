package compare

import (
	"math"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Up to 60 sessions are all points of the progress; of more, evenly spread ones and the last.
func TestProgressIsEvenlySpread(t *testing.T) {
	for n, want := range map[int]struct{ points, first, second int }{1: {1, 0, 0}, 2: {2, 0, 1}, 60: {60, 0, 1},
		61: {31, 0, 2}, 62: {31, 1, 3}, 121: {41, 0, 3}, 122: {41, 1, 4}, 180: {60, 2, 5}} {
		at := progressAt(n)
		if len(at) != want.points || at[0] != want.first || n > 1 && at[1] != want.second || at[len(at)-1] != n-1 {
			t.Errorf("of %d sessions: %v", n, at)
		}
	}
	if at := progressAt(0); at != nil {
		t.Errorf("of no session: %v", at)
	}
}

// The reference of a level is the dataset's where it was compared there, else that of the first pair
// with an estimate, else that of the first.
func TestReferenceOfALevel(t *testing.T) {
	a := &analysis{dataset: undrifting("ABC").Dataset}
	m := units.Missing
	for _, c := range []struct {
		estimates  []float64
		references string
		want       string
	}{{[]float64{1, 2}, "BA", "A"}, {[]float64{m, 2}, "AB", "B"}, {[]float64{1, m}, "BA", "B"},
		{[]float64{m, m}, "CB", "C"},
		{[]float64{m, m, 3}, "ACB", "B"}} {
		var pairs []*Comparison
		for i, estimate := range c.estimates {
			pairs = append(pairs, &Comparison{Estimate: estimate, Reference: c.references[i : i+1]})
		}
		if got := a.levelReference(pairs); got != c.want {
			t.Errorf("%v against %s: reference %s, want %s", c.estimates, c.references, got, c.want)
		}
	}
}

// Each runner's own estimate is written with a sign and two decimals.
func TestEachRunnerIsWritten(t *testing.T) {
	c := Comparison{Outcome: trial.Speed, PredictionLow: -2.344, PredictionHigh: 3.456, PerRunner: []RunnerEstimate{
		{"ann", OneSession, 1.234, -1.234, 3.456}, {"ben", OneSession, -0.567, -2.345, 1.234}}}
	want := "each runner alone: ann +1.23 %, ben -0.57 %; for a new runner -2.34 to +3.46 %"
	if got := c.eachRunner(); got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// In the order A B B A B A A B neither shoe is earlier, so that drift and shoes are apart: by hand the
// slope is Σ t y/Σ t², and its variance Σ e²/(8 - 3)/Σ t², in percent an hour.
func TestDriftByHand(t *testing.T) {
	const order = "ABBABAAB"
	noise := []float64{0.002, -0.001, 0.003, -0.002, 0.001, 0.002, -0.003, 0.001}
	y := func(place int) float64 {
		return 1.4 + 0.01*float64(order[place]-'A') - 0.002*float64(place) + noise[place]
	}
	m := drifting("AB").session("d", order, func(place int, _ string) float64 { return math.Exp(y(place)) })
	c := find(t, m.run(), "B", "A")
	var ty, tt float64
	mean := map[byte]float64{}
	hours := func(place int) float64 { return 0.15 * (float64(place) - 3.5) } // nine minutes apart
	for place := range len(order) {
		mean[order[place]] += y(place) / 4
		ty, tt = ty+hours(place)*y(place), tt+hours(place)*hours(place)
	}
	rest := 0.0
	for place := range len(order) {
		e := y(place) - mean[order[place]] - ty/tt*hours(place)
		rest += e * e
	}
	near(t, "drift", c.DriftPerHour, 100*math.Expm1(ty/tt), 1e-9)
	near(t, "its standard error", c.DriftSE, 100*math.Sqrt(rest/5/tt), 1e-9)
}

// A session that was not run as drawn takes the p at the ends away: the interval rests on it too.
func TestNoPAtTheEndsOfMoreThanWasDrawn(t *testing.T) {
	m := drawnTrial(t, undrifting, "AB", 4, 0.003, 1, 1, 1, 1, 1, 1, 1)
	if got := find(t, m.run(), "B", "A").Randomisation; got.Sessions != 7 || !units.Known(got.PAtEnds) {
		t.Errorf("seven sessions as drawn: %+v", got)
	}
	m.Sessions[1].Plan = nil
	if got := find(t, m.run(), "B", "A").Randomisation; got.Sessions != 6 || units.Known(got.PAtEnds) {
		t.Errorf("six sessions of seven: %+v", got)
	}
}
