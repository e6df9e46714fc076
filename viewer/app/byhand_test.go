package app

import (
	"math"
	"testing"

	"soletrial/pipeline/units"
)

// Half as much or twice as much about the cursor, where it is in view, else about the middle; a
// quarter of the view to a side.
func TestZoomByHand(t *testing.T) {
	const none = -1 // a cursor out of view
	for _, c := range []struct {
		way              string
		from, to, cursor float64
		wantFrom, wantTo float64
	}{
		{"in", 100, 200, none, 125, 175}, {"in", 100, 200, 110, 85, 135}, {"in", 100, 200, 100, 75, 125},
		{"in", 100, 200, 200, 175, 225}, {"in", 100, 200, 200.1, 125, 175}, {"in", 100, 200, 99.9, 125, 175},
		{"in", 100, 200, units.Missing, 125, 175}, {"out", 100, 200, none, 50, 250}, {"out", 100, 200, 120, 20, 220},
		{"left", 100, 200, 120, 75, 175}, {"right", 100, 200, 120, 125, 225}, {"all", 100, 200, 120, 0, 390},
		{"elsewhere", 100, 200, 120, 100, 200},
	} {
		if from, to := zoomRange(c.way, c.from, c.to, c.cursor, 390); from != c.wantFrom || to != c.wantTo {
			t.Errorf("%s from %v to %v with the cursor at %v: %v to %v, want %v to %v", c.way, c.from, c.to, c.cursor,
				from,
				to, c.wantFrom, c.wantTo)
		}
	}
}

// A view is moved into the block, never shorter than five seconds, and missing where it is all of it.
func TestViewStaysInTheBlock(t *testing.T) {
	m := units.Missing
	for _, c := range []struct{ from, to, wantFrom, wantTo float64 }{
		{100, 200, 100, 200}, {-50, 50, 0, 100}, {350, 450, 290, 390}, {0, 390, m, m}, {-10, 500, m, m},
		{100, 101, 98, 103}, {1, 2, 0, 5}, {389, 390, 385, 390}, {100.04, 200.06, 100, 200.1}, {0, 389.9, 0, 389.9},
	} {
		got := clampView(c.from, c.to, 390)
		for i, want := range []float64{c.wantFrom, c.wantTo} {
			if units.Known(got[i]) != units.Known(want) || math.Abs(got[i]-want) > 1e-9 {
				t.Errorf("%v to %v: %v, want %v to %v", c.from, c.to, got, c.wantFrom, c.wantTo)
				break
			}
		}
	}
}

// 4:00 per km are 6:26 per mile of 1.609344 km; 0 and 100 °C are 32 and 212 °F.
func TestConversionsByHand(t *testing.T) {
	m := &Model{}
	if got := m.Pace(240); got != "4:00 min/km" {
		t.Errorf("%s", got)
	}
	m.choice.Imperial = true
	if got := m.Pace(240); got != "6:26 min/mile" {
		t.Errorf("%s", got)
	}
	if got := m.AtLevel("pace 4:00"); got != "at 6:26 per mile" {
		t.Errorf("%s", got)
	}
	celsius := []float64{0, 100}
	if got := converted(celsius, m.Conversion("°C")); math.Abs(got[0]-32) > 1e-9 || math.Abs(got[1]-212) > 1e-9 {
		t.Errorf("%v °F", got)
	}
	if celsius[1] != 100 {
		t.Error("the values themselves were converted")
	}
}
