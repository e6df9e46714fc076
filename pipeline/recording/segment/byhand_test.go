package segment

import (
	"math"
	"slices"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// How a block was found, in words, for each kind of edge.
func TestNotesSayHowABlockWasFound(t *testing.T) {
	p := Proposal{Channel: trial.PowerW, Blocks: []Found{{Mean: 251.26}, {StartLap: 2, EndLap: 2},
		{StartLap: 2, EndLap: 4},
		{StartLap: 3, Mean: 250}, {EndLap: 3, Mean: 250}}}
	want := []string{"found by power, 251.3 W", "lap 2", "laps 2 to 4", "start of lap 3, end found by power, 250.0 W",
		"end of lap 3, start found by power, 250.0 W"}
	for i, row := range p.Rows() {
		if row.Note != want[i] || row.ID != string(rune('1'+i)) || units.Known(row.Target) {
			t.Errorf("%+v, want note %q", row, want[i])
		}
	}
}

// flat is a recording of an hour in which power, speed and heart rate have the given mean in each
// quarter of an hour.
func flat(power, speed, heart [4]float64) *trial.Samples {
	s := &trial.Samples{}
	for i := range 3600 {
		s.Elapsed = append(s.Elapsed, float64(i))
		for c, values := range map[trial.Channel][4]float64{trial.PowerW: power, trial.SpeedMps: speed,
			trial.HeartRateBpm: heart} {
			if values[0] > 0 {
				s.Values[c] = append(s.Values[c], values[i/900])
			}
		}
	}
	return s
}

var quarters = []Found{{StartS: 0, EndS: 900}, {StartS: 900, EndS: 1800}, {StartS: 1800, EndS: 2700},
	{StartS: 2700, EndS: 3600}}

// The target is the median of the blocks, in whole watts, seconds per km or bpm.
func TestTargetByHand(t *testing.T) {
	s := flat([4]float64{250, 252, 260, 251}, [4]float64{4, 4, 4, 4}, [4]float64{150, 160, 161, 170})
	for effort, want := range map[trial.Effort]float64{trial.Power: 252, trial.Pace: 250, trial.HeartRate: 161,
		"": none} {
		if got := Target(s, effort, quarters); units.Known(got) != units.Known(want) || math.Abs(got-want) > 0 {
			t.Errorf("%s: %v, want %v", effort, got, want)
		}
	}
	if got := Target(flat([4]float64{}, [4]float64{4}, [4]float64{}), trial.Power, quarters); units.Known(got) {
		t.Errorf("a target of %v W without power", got)
	}
}

var none = units.Missing

// Power that was kept within 1 % was held; else what varied less than half as much.
func TestWhatWasHeldByHand(t *testing.T) {
	even, loose := [4]float64{250, 251, 250, 251}, [4]float64{240, 260, 240, 260} // 0.2 and 4.6 %
	pace, heart := [4]float64{4, 4.01, 4, 4.01}, [4]float64{150, 151, 150, 151}   // 0.1 and 0.4 %
	wide := [4]float64{3.9, 4.1, 3.9, 4.1}                                        // 2.9 %
	for _, c := range []struct {
		s    *trial.Samples
		want trial.Effort
	}{
		{flat(even, pace, heart), trial.Power}, {flat(loose, pace, heart), trial.Pace},
		{flat(loose, wide, heart), trial.HeartRate}, {flat(loose, wide, [4]float64{}), trial.Power},
		{flat([4]float64{}, wide, heart), trial.HeartRate}, {flat([4]float64{}, [4]float64{}, heart), trial.HeartRate},
		{nil, ""},
	} {
		p := Proposal{Blocks: quarters}
		if got := p.guessEffort(Evidence{Samples: c.s}); got != c.want {
			t.Errorf("held %q, want %q", got, c.want)
		}
	}
}

// The mean of a block is that of the seconds it shares with each lap; a lap without the value counts
// for nothing.
func TestMeasureByHand(t *testing.T) {
	for _, c := range []struct {
		start, end float64
		values     []float64
		want       float64
	}{
		{0, 100, []float64{200, 300, 250, none}, 200}, {50, 200, []float64{200, 300, 250, none}, 266.6667},
		{50, 200, []float64{none, 300, 250, none}, 300}, {250, 400, []float64{200, 300, 250, none}, 250},
		{300, 400, []float64{200, 300, 250, none}, none}, {0, 100, []float64{none, 300, 250, none}, none},
	} {
		b := trial.Block{Start: c.start, End: c.end}
		b.Measured[trial.MeasurePower] = none
		measure(&b, trial.MeasurePower, []float64{0, 100, 200, 300}, c.values)
		got := b.Measured[trial.MeasurePower]
		if units.Known(got) != units.Known(c.want) || math.Abs(got-c.want) > 0 {
			t.Errorf("%v to %v: %v, want %v", c.start, c.end, got, c.want)
		}
	}
}

// A quarter longer or shorter is one block; more is not, nor is a block of no length.
func TestPriceOfAPair(t *testing.T) {
	for _, c := range []struct{ found, planned, want float64 }{{300, 300, 0}, {374, 300, math.Log(374.0 / 300)},
		{240.1, 300, math.Log(300 / 240.1)}, {376, 300, math.Inf(1)}, {239, 300, math.Inf(1)}, {0, 300, math.Inf(1)},
		{300, 0, math.Inf(1)}, {300, none, math.Inf(1)}} {
		if got := pairPrice(c.found, c.planned); got != c.want && !(math.Abs(got-c.want) < 1e-12) {
			t.Errorf("%v s for %v s: %v, want %v", c.found, c.planned, got, c.want)
		}
	}
}

// By hand: of two and one, the one that fits costs its price, the other 0.25 alone.
func TestPricesByHand(t *testing.T) {
	got := prices(2, 1, func(i, _ int) float64 { return []float64{0.2, 0.1}[i] })
	want := [][]float64{{0, 0.25}, {0.25, 0.2}, {0.5, 0.35}}
	for i := range want {
		if !slices.EqualFunc(got[i], want[i], func(x, y float64) bool { return math.Abs(x-y) < 1e-12 }) {
			t.Errorf("prices of %d: %v, want %v", i, got[i], want[i])
		}
	}
}
