package app

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
	"soletrial/viewer/load"
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

// An analysis speaks for the leader by how much it is ahead there, against it where another leads.
func TestMarginByHand(t *testing.T) {
	g := &answer.Group{Places: []answer.Place{{Shoe: "birch"}, {Shoe: "alder"}}}
	for leader, want := range map[string]float64{"birch": 0.02, "alder": -0.02} {
		if got := Margin(g, &decide.Analysis{Leader: leader, Lead: decide.Difference{Mean: 0.02}}); got != want {
			t.Errorf("%s leads: %v, want %v", leader, got, want)
		}
	}
}

// A stretch of a block in the address begins at its start at the earliest, and ends after it begins.
func TestViewInTheAddress(t *testing.T) {
	for text, want := range map[string]bool{"view=0,30": true, "view=0.5,0.6": true, "view=12,30.1234": true,
		"view=-1,30": false, "view=30,30": false, "view=31,30": false, "view=,30": false, "view=3,": false,
		"view=3,x": false, "view=x,3": false} {
		c, unread := ParseFragment(text)
		if units.Known(c.View[0]) != want || (len(unread) == 0) != want {
			t.Errorf("%q: %v, unread %q", text, c.View, unread)
		}
	}
	if c, _ := ParseFragment("view=12,30.1234"); c.View != [2]float64{12, 30.123} {
		t.Errorf("%v is not in thousandths", c.View)
	}
}

// The longest block is the longest published window with the trim at its head and tail, a minute at
// least.
func TestLongestBlockByHand(t *testing.T) {
	for table, want := range map[string]float64{
		"window_s\n300\n315.5\n240\n": 391, "window_s\n\n0\n20\n": 95, "window_s\n": 60, "": 60,
		"block\n1\n": 60,
	} {
		m := &Model{Dataset: &trial.Dataset{}, Bundle: &load.Bundle{Derived: map[string][]byte{
			load.BlocksTable: []byte(table)}}}
		m.Dataset.Facts.Method.Trim = trial.Trim{HeadS: 60, TailS: 15}
		if m.findLongest(); m.LongestBlock() != want {
			t.Errorf("%q: %v, want %v", table, m.LongestBlock(), want)
		}
	}
}

// The first line in which two texts differ may be one that is missing in either of them.
func TestFirstDifferenceByHand(t *testing.T) {
	for _, c := range []struct {
		published, here string
		line            int
		a, b            string
	}{
		{"", "", 0, "", ""}, {"x\ny\n", "x\ny\n", 0, "", ""}, {"x\ny\n", "x\nz\n", 2, "y", "z"},
		{"x\ny\n", "x\n", 2, "y", ""}, {"x\n", "x\ny\n", 2, "", "y"}, {"", "x\n", 1, "", "x"},
	} {
		line, a, b := firstDifference([]byte(c.published), []byte(c.here))
		if line != c.line || a != c.a || b != c.b {
			t.Errorf("%q and %q differ in line %d: %q and %q", c.published, c.here, line, a, b)
		}
	}
}

// A missing number equals a missing one, and no other.
func TestOptionalByHand(t *testing.T) {
	if optionalOf(units.Missing) != optionalOf(math.NaN()) || optionalOf(0) == optionalOf(units.Missing) ||
		optionalOf(0.9) != (optional{true, 0.9}) || optionalOf(0.9) == optionalOf(0.95) {
		t.Error("missing and known numbers are taken for each other")
	}
}

// A cell that a recording does not have is not filled in.
func TestCellsOfAnOwnRecording(t *testing.T) {
	o := &OwnRecording{Rows: make([]OwnBlock, 2)}
	for i, what := range []string{"0/0", fmt.Sprint("1/", OwnCells-1), "-1/0", "2/0", "0/-1",
		fmt.Sprint("0/", OwnCells), "x/0", "0/x", "0", ""} {
		o.setCell(what, "new")
		filled := 0
		for _, row := range o.Rows {
			for _, cell := range row.Cells {
				if cell != "" {
					filled++
				}
			}
		}
		if want := min(i+1, 2); filled != want {
			t.Errorf("%q fills a cell: %d are filled, want %d", what, filled, want)
		}
	}
}

// What was held must be above zero.
func TestOwnTargetAboveZero(t *testing.T) {
	for target, want := range map[string]bool{"260": true, "0": false, "": false, " ": false, "-3": false, "x": false} {
		o := &OwnRecording{Effort: trial.Power, Target: target}
		if _, err := o.session(); (err == nil || err.Error() !=
			"write what was held: a number, or m:ss per km for a pace") != want {
			t.Errorf("%q: %v", target, err)
		}
	}
}

// A block of an own recording ends after it starts.
func TestOwnBlockEndsAfterItStarts(t *testing.T) {
	for times, want := range map[[2]string]bool{{"0", "5:00"}: true, {"60", "61"}: true, {"1:00", "60"}: false,
		{"60", "59"}: false, {"", "60"}: false, {"60", ""}: false} {
		o := &OwnRecording{Effort: trial.Power, Target: "260", Rows: make([]OwnBlock, 2)}
		for i := range o.Rows {
			o.Rows[i].Cells[OwnShoe], o.Rows[i].Cells[OwnStart], o.Rows[i].Cells[OwnEnd] = "birch", "600", "900"
		}
		o.Rows[1].Cells[OwnStart], o.Rows[1].Cells[OwnEnd] = times[0], times[1]
		_, err := o.session()
		refused := err != nil && strings.HasPrefix(err.Error(), "block 2 needs a start and a later end")
		if refused == want {
			t.Errorf("%q: %v", times, err)
		}
	}
}
