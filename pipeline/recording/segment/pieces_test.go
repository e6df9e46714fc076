package segment

import (
	"math"
	"slices"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// The numbers of this file are worked out by hand.

// minutes is a time at effort from one minute to another.
func minutes(from, to, level float64) span {
	return span{startS: 60 * from, endS: 60 * to, level: level}
}

// of is one section with a value every second, a run of equal values each.
func of(c trial.Channel, runs ...[2]float64) signal {
	var part section
	for _, run := range runs {
		for range int(run[0]) {
			part.at, part.value = append(part.at, float64(len(part.at))), append(part.value, run[1])
		}
	}
	return signal{channel: c, sections: []section{part}}
}

// The target is looked for on the scale of the channel: speed for pace, beats above rest for heart
// rate, and only by the channel that was held.
func TestTargetOnTheScaleOfTheChannel(t *testing.T) {
	for _, c := range []struct {
		channel trial.Channel
		effort  trial.Effort
		target  float64
		want    float64
	}{
		{trial.PowerW, trial.Power, 268, 268},
		{trial.SpeedMps, trial.Pace, 250, 4}, // 4:10 per km is 4 m/s
		{trial.HeartRateBpm, trial.HeartRate, 150, 100},
		{trial.HeartRateBpm, trial.HeartRate, 40, 1},
		{trial.PowerW, trial.Power, 0, none}, {trial.PowerW, trial.Power, none, none},
		{trial.SpeedMps, trial.Power, 268, none}, {trial.PowerW, trial.Pace, 250, none},
		{trial.PowerW, trial.HeartRate, 150, none}, {trial.SpeedMps, trial.HeartRate, 150, none},
		{trial.HeartRateBpm, trial.Pace, 150, none},
	} {
		got := signal{channel: c.channel}.target(Evidence{Effort: c.effort, Target: c.target})
		if units.Known(got) != units.Known(c.want) || math.Abs(got-c.want) > 0 {
			t.Errorf("%v held at %v: %v on channel %v, want %v", c.effort, c.target, got, c.channel, c.want)
		}
	}
}

// An easier level joins a harder one where it was run twice, once of it between the harder ones.
func TestEasierLevelJoins(t *testing.T) {
	hard := []span{minutes(10, 15, 300), minutes(30, 35, 300)}
	for _, c := range []struct {
		name  string
		group []span
		want  bool
	}{
		{"twice, once between", []span{hard[0], minutes(20, 25, 260), hard[1], minutes(40, 45, 260)}, true},
		{"overlapping the harder ones", []span{minutes(9, 15, 280), minutes(20, 25, 260), minutes(29, 36, 280),
			minutes(40, 45, 260)}, true},
		{"twice before", []span{minutes(0, 4, 260), minutes(5, 9, 260), hard[0], hard[1]}, false},
		{"twice after", []span{hard[0], hard[1], minutes(40, 45, 260), minutes(50, 55, 260)}, false},
		{"until the last one's end", []span{hard[0], hard[1], minutes(30, 35, 260), minutes(36, 39, 260)}, false},
		{"once", []span{hard[0], minutes(20, 25, 260), hard[1]}, false},
		{"too easy", []span{hard[0], minutes(20, 25, 200), hard[1], minutes(40, 45, 260)}, false},
		{"without a harder one", []span{hard[0], minutes(20, 25, 260), minutes(40, 45, 260)}, false},
		{"touching the harder ones", []span{hard[0], minutes(15, 20, 260), minutes(25, 30, 260), hard[1]}, true},
	} {
		if got := joins(c.group, hard, 300); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// Between the first and the last block one may be cut short or off its level; before and after
// them, what is much longer or shorter is none.
func TestChooseKeepsWhatIsAlike(t *testing.T) {
	blocks := []span{minutes(10, 15, 250), minutes(20, 25, 250), minutes(30, 35, 250)}
	with := func(extra ...span) []span {
		all := append(slices.Clone(blocks), extra...)
		slices.SortFunc(all, func(a, b span) int { return int(a.startS - b.startS) })
		return all
	}
	for _, c := range []struct {
		name  string
		spans []span
		want  int
	}{
		{"alike", blocks, 3},
		{"cut short between", with(minutes(16, 19, 250)), 4},
		{"a burst between", with(minutes(16, 18, 250)), 3},
		{"short before", with(minutes(5, 8.5, 250)), 3},
		{"short after", with(minutes(40, 43.5, 250)), 4},
		{"long after, easier", with(minutes(40, 47, 230)), 3},
		{"long after, as hard", with(minutes(40, 47, 245)), 4},
		{"long after, a little harder than the level", with(minutes(40, 47, 260)), 4},
		{"too long after", with(minutes(40, 49, 250)), 3},
	} {
		if got := choose(c.spans, 250, Evidence{}); len(got) != c.want {
			t.Errorf("%s: %d blocks, want %d: %v", c.name, len(got), c.want, got)
		}
	}
}

// What repeats nothing gives its one longest stretch, of two minutes at least.
func TestLongestStretch(t *testing.T) {
	for _, c := range []struct {
		name        string
		runs        [][2]float64
		from, to    float64
		wantNothing bool
	}{
		{"the longer one first", [][2]float64{{300, 100}, {900, 250}, {300, 100}, {400, 250}, {300, 100}},
			300, 1200, false},
		{"the longer one last", [][2]float64{{300, 100}, {400, 250}, {300, 100}, {900, 250}, {300, 100}},
			1000, 1900, false},
		{"a burst beside it", [][2]float64{{300, 100}, {900, 250}, {300, 100}, {60, 260}, {300, 100}},
			300, 1200, false},
		{"only bursts", [][2]float64{{60, 250}, {60, 100}, {60, 250}}, 0, 0, true},
	} {
		s := of(trial.PowerW, c.runs...)
		a := attempt{signal: s, list: s.stretches()}
		got := a.longest(0.85, Evidence{})
		switch {
		case c.wantNothing && len(got) > 0:
			t.Errorf("%s: %v", c.name, got)
		case c.wantNothing:
		case len(got) != 1 || math.Abs(got[0].startS-c.from) > 2 || math.Abs(got[0].endS-c.to) > 2:
			t.Errorf("%s: %v, want from %v to %v", c.name, got, c.from, c.to)
		}
	}
}

// How uneven a block is: its first 30 seconds left out, averages over 20 seconds of 240 and 260 W
// in turn have a standard deviation of 10 W times the root of 4/3 where there are four.
func TestUnevenness(t *testing.T) {
	s := of(trial.PowerW, [2]float64{30, 400}, [2]float64{20, 240}, [2]float64{20, 260}, [2]float64{20, 240},
		[2]float64{20, 260}, [2]float64{10, 500})
	for _, c := range []struct{ end, want float64 }{
		{110, 10 * math.Sqrt(4.0/3) / 250}, {119, 10 * math.Sqrt(4.0/3) / 250},
		{70, 10 * math.Sqrt2 / 250}, {69, 0}, {50, 0},
	} {
		got := s.unevenness(span{startS: 0, endS: c.end, level: 250})
		if math.Abs(got-c.want) > 1e-12 {
			t.Errorf("until %v s: %v, want %v", c.end, got, c.want)
		}
	}
	if got := s.unevenness(span{startS: 0, endS: 110}); got != 0 {
		t.Errorf("without a level: %v", got)
	}
}

// The effort passes from 100 to 200 at the sample from which least squares ask for it; where all of
// the samples belong to one side, at the first or at the last of them.
func TestDivision(t *testing.T) {
	step := func(first float64, n int) (s section) {
		for i := range n {
			v := 100.0
			if float64(i) >= first {
				v = 200
			}
			s.at, s.value = append(s.at, float64(i)), append(s.value, v)
		}
		return s
	}
	for _, c := range []struct{ first, near, want float64 }{
		{50, 50, 50}, {45, 50, 45}, {58, 50, 58}, {0, 50, 40}, {100, 50, 60},
	} {
		if got := step(c.first, 100).division(c.near, 10, 100, 200); got != c.want {
			t.Errorf("step at %v, looked for at %v: %v, want %v", c.first, c.near, got, c.want)
		}
	}
}

// A block that only heart rate tells starts where heart rate stops falling and begins to rise, be that
// the first sample, and ends where it begins to fall.
func TestHeartRateLags(t *testing.T) {
	between := func(from, to float64) (runs [][2]float64) {
		step := math.Copysign(2, to-from)
		for v := from; math.Abs(to-v) > 1; v += step {
			runs = append(runs, [2]float64{1, v})
		}
		return runs
	}
	for _, lead := range []float64{0, 20} {
		s := of(trial.HeartRateBpm, slices.Concat(between(40+2*lead, 40), between(40, 100),
			[][2]float64{{200, 100}}, between(100, 40), [][2]float64{{60, 40}})...)
		sp := span{startS: lead + 20, endS: lead + 250, level: 95}
		s.withoutLag(&sp)
		// The median of three beside a turn may move it by one sample.
		if math.Abs(sp.startS-lead) > 1 || math.Abs(sp.endS-(lead+231)) > 2 {
			t.Errorf("after %v s: from %v to %v", lead, sp.startS, sp.endS)
		}
	}
}

// What a press divided from two harder neighbours is a rest; what is no easier than one of them is
// none.
func TestRestsBetweenPresses(t *testing.T) {
	for _, c := range []struct {
		levels [3]float64
		gap    float64
		want   int
	}{
		{[3]float64{250, 220, 250}, 0, 2}, {[3]float64{250, 220, 210}, 0, 3}, {[3]float64{210, 220, 250}, 0, 3},
		{[3]float64{250, 220, 250}, 1, 3},
	} {
		blocks := []span{minutes(0, 5, c.levels[0]), minutes(5+c.gap, 7, c.levels[1]), minutes(7, 12, c.levels[2])}
		if got := withoutRests(blocks); len(got) != c.want {
			t.Errorf("%v, %v minutes apart: %d blocks, want %d", c.levels, c.gap, len(got), c.want)
		}
	}
}

// Laps of one length are automatic where they are more than six in ten of all but the last: by a
// distance that two share, by one that the device calls a distance, by a time that three share.
func TestAutomaticLapsByHand(t *testing.T) {
	laps := func(trigger string, each ...[2]float64) (laps []trial.Lap) {
		at := 0.0
		for _, l := range each {
			laps = append(laps, trial.Lap{StartS: at, EndS: at + l[0], DistanceM: l[1], Trigger: trigger})
			at += l[0]
		}
		return append(laps, trial.Lap{StartS: at, EndS: at + 33, DistanceM: 120, Trigger: trigger})
	}
	for _, c := range []struct {
		name string
		laps []trial.Lap
		want int
	}{
		{"two of a distance", laps("", [2]float64{290, 1000}, [2]float64{310, 1000}), 2},
		{"one of a distance", laps("", [2]float64{290, 1000}), 0},
		{"one that says so", laps("distance", [2]float64{290, 1000}), 1},
		{"three of a time", laps("", [2]float64{300, 1000}, [2]float64{300, 1100}, [2]float64{300, 1200}), 3},
		{"two of a time", laps("", [2]float64{300, 1000}, [2]float64{300, 1200}), 0},
		{"three of five", laps("", [2]float64{290, 1000}, [2]float64{310, 1000}, [2]float64{330, 1000},
			[2]float64{100, 600}, [2]float64{500, 1900}), 0},
		{"laps without a length", laps("", [2]float64{0, 0}, [2]float64{0, 0}, [2]float64{0, 0}), 0},
		{"laps of half a metre", laps("", [2]float64{290, 0.5}, [2]float64{310, 0.5}), 2},
	} {
		n := 0
		for _, is := range automaticLaps(c.laps) {
			if is {
				n++
			}
		}
		if n != c.want {
			t.Errorf("%s: %d automatic laps, want %d", c.name, n, c.want)
		}
	}
}

// Values that are no effort do not count, and neither does an endless one.
func TestPositive(t *testing.T) {
	s := of(trial.PowerW, [2]float64{1, 0}, [2]float64{1, -5}, [2]float64{1, 250}, [2]float64{1, math.Inf(1)})
	if got := s.positive(); !slices.Equal(got, []float64{250}) {
		t.Errorf("%v", got)
	}
}

// A press at the very end of a block cannot be its start, nor one at its start its end.
func TestEdgesStayApart(t *testing.T) {
	s := of(trial.PowerW, [2]float64{600, 250})
	a := attempt{signal: s, presses: presses{list: []press{{atS: 120, before: 1, after: 2}}}}
	blocks := []span{{startS: 100, endS: 120}}
	a.edgesAtPresses(blocks)
	if b := blocks[0]; b.startS != 100 || b.endS != 120 || b.startLap != 0 || b.endLap != 1 {
		t.Errorf("%+v", b)
	}
	blocks = []span{{startS: 120, endS: 140}}
	a.edgesAtPresses(blocks)
	if b := blocks[0]; b.startS != 120 || b.endS != 140 || b.startLap != 2 || b.endLap != 0 {
		t.Errorf("%+v", b)
	}
}

// Presses that a device may have made are real where more than six in ten are at edges of blocks
// that were found without them; a session needs more than its start and its end.
func TestPressesAtEdgesAreReal(t *testing.T) {
	blocks := []span{{startS: 100, endS: 400}, {startS: 500, endS: 800}, {startS: 900, endS: 1200}}
	own := []press{{atS: 0}, {atS: 450}, {atS: 2000}}
	for _, c := range []struct {
		suspects      []float64
		list, ignored int
	}{
		{[]float64{100, 400, 500, 600, 700}, 3, 5}, // three of five
		{[]float64{100, 400, 500, 800, 700}, 8, 0},
		{[]float64{71, 430, 530, 770, 1231}, 8, 0}, // up to 30 s beside an edge
		{[]float64{69, 431, 530, 770, 1231}, 3, 5},
	} {
		p := presses{list: own}
		for _, at := range c.suspects {
			p.list = append(slices.Clip(p.list), press{atS: at, suspect: true})
		}
		if got := p.without(blocks); len(got.list) != c.list || got.automatic != c.ignored {
			t.Errorf("%v: %d presses and %d automatic laps, want %d and %d", c.suspects, len(got.list), got.automatic,
				c.list, c.ignored)
		}
	}
	alone := presses{list: []press{{atS: 0}, {atS: 2000}, {atS: 600, suspect: true}}}
	if got := alone.without(blocks); len(got.list) != 0 || got.automatic != 2 {
		t.Errorf("%+v", got)
	}
}
