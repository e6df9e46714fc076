package segment_test

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"soletrial/pipeline/recording"
	"soletrial/pipeline/recording/segment"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// The oracle of every case is the invention: which legs are blocks.
func TestOnlyBlocksAreProposed(t *testing.T) {
	warm, home := []leg{easy(600, 190)}, []leg{easy(900, 185)}
	walked := repeat(4, effort(330, 268), easy(150, 62))
	strides := repeat(5, easy(20, 350), easy(60, 110))
	for _, c := range []struct {
		name  string
		noise float64
		legs  []leg
	}{
		{"warm-up, walked rests, run home", 6, legs(warm, []leg{easy(120, 55)}, walked, home)},
		{"an unsteady runner", 20, legs(warm, []leg{easy(120, 55)}, walked, home)},
		{"strides in the warm-up", 6, legs(warm, strides, []leg{easy(90, 50)}, walked, home)},
		{"hill sprints before", 6, legs(warm, repeat(6, easy(60, 350), easy(90, 100)), walked, home)},
		{"jogged rests", 6, legs(warm, repeat(5, effort(300, 270), easy(180, 180)), home)},
		{"jogged rests as long as the blocks", 6, legs(warm, repeat(5, effort(300, 270), easy(300, 190)), home)},
		{
			"blocks at three targets",
			6,
			legs(warm,
				[]leg{easy(90, 60)},
				repeat(2, effort(240, 220), easy(120, 60), effort(240, 250), easy(120, 60), effort(240, 280), easy(120,
					60)),
				home),
		},
		{"a warm-up and a run home as long as the blocks", 6, legs([]leg{easy(330, 195), easy(90, 60)}, walked,
			[]leg{easy(330, 195)})},
		{"straight into the first block", 6, legs(warm, walked)},
		{"a long run home, nearly as hard", 6, legs(warm, walked, []leg{easy(1500, 236)})},
		{"a finishing kick", 6, legs(warm, walked, []leg{easy(90, 335), easy(60, 60)}, home)},
		{"two blocks", 6, legs(warm, repeat(2, effort(400, 268), easy(150, 62)), home)},
		{"twelve short blocks", 8, legs(warm, repeat(12, effort(180, 268), easy(60, 40)), home)},
		{"shoes changed in 30 s", 6, legs(warm, repeat(6, effort(300, 268), easy(30, 10)), home)},
		{"stopped for shoes", 6, legs(warm, repeat(4, effort(330, 268), stop(146)), home)},
		{"stopped for 20 s", 6, legs(warm, repeat(4, effort(330, 268), stop(20)), home)},
		{"one block cut short", 6, legs(warm, walked, []leg{effort(210, 268), easy(150, 62)}, walked, home)},
		{"a traffic light in a block", 6, legs(warm, walked, []leg{effort(330, 268), easy(150, 62)}, home)},
		{"stopped in a slowing jog after each block", 6,
			legs(warm, repeat(4, effort(330, 268), easy(6, 190), easy(6, 160), easy(26, 120), stop(90)))},
		{"nothing but two blocks", 6, []leg{effort(300, 268), easy(90, 50), effort(300, 268)}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := invent(c.noise, c.legs)
			p := segment.Propose(s.evidence())
			if problem := differs(p.Blocks, day{s.truth, 12}); problem != "" && len(s.truth) > 0 {
				t.Errorf("%s; want %v", problem, s.truth)
			}
		})
	}
}

// Held heart rate: power falls within each block and from block to block.
func TestBlocksAtHeldHeartRate(t *testing.T) {
	var all []leg
	truth := [][2]float64{}
	at := 600.0
	all = append(all, easy(600, 180))
	for b := range 6 {
		truth = append(truth, [2]float64{at, at + 420})
		for k := range 7 {
			all = append(all, easy(60, 295-5*float64(b)-6*float64(k)))
		}
		all = append(all, easy(150, 62))
		at += 570
	}
	s := invent(6, append(all, easy(600, 180)))
	if problem := differs(segment.Propose(s.evidence()).Blocks, day{truth, 12}); problem != "" {
		t.Error(problem)
	}
}

// What the watch records differs: each way must give the same blocks.
func TestBlocksFromWhatIsRecorded(t *testing.T) {
	s := invent(6,
		legs([]leg{easy(600, 190), easy(120, 55)}, repeat(4, effort(330, 268), easy(150, 62)), []leg{easy(900, 185)}))
	for _, c := range []struct {
		name      string
		session   session
		channel   trial.Channel
		tolerance float64
	}{
		{"power", s.only(trial.PowerW), trial.PowerW, 12},
		{"speed", s.only(trial.SpeedMps), trial.SpeedMps, 12},
		{"distance", s.only(trial.DistanceM), trial.SpeedMps, 15},
		{"heart rate", s.only(trial.HeartRateBpm), trial.HeartRateBpm, 25},
		{"every few seconds", s.sparse(), trial.PowerW, 14},
		{"hills, power held", s.wave(trial.SpeedMps, 0.22, 140), trial.PowerW, 12},
		{"hills, pace held", s.wave(trial.PowerW, 0.22, 140), trial.SpeedMps, 12},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := segment.Propose(c.session.evidence())
			if problem := differs(p.Blocks, day{s.truth, c.tolerance}); problem != "" || p.Channel != c.channel {
				t.Errorf("by %s: %s; want %v", p.Channel.Info().Label, problem, s.truth)
			}
		})
	}
}

// Laps say where an edge is; how they were pressed differs.
func TestLapsTellTheEdges(t *testing.T) {
	s := invent(6, legs([]leg{easy(600, 190)}, repeat(4, effort(330, 268), easy(150, 180)), []leg{easy(900, 185)}))
	every := s.laps(1, 2, 3, 4, 5, 6, 7, 8)
	for _, c := range []struct {
		name string
		laps []trial.Lap
		from int // edges that laps tell
	}{
		{"pressed at the start and end", every, 8},
		{"pressed at the start only", s.laps(1, 3, 5, 7), 4},
		{"pressed at the end only", s.laps(2, 4, 6, 8), 4},
		{
			"pressed by mistake in a block",
			append(append([]trial.Lap{every[0]}, s.lap(600, 700, "manual"), s.lap(700, 930, "manual")), every[2:]...),
			8,
		},
		{"nobody says what ended them", func() []trial.Lap {
			laps := s.laps(1, 2, 3, 4, 5, 6, 7, 8)
			for i := range laps {
				laps[i].Trigger = ""
			}
			return laps
		}(), 8},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := segment.Propose(s.evidence(c.laps...))
			tolerance := 12.0
			if c.from == 8 {
				tolerance = 0
			}
			if problem := differs(p.Blocks, day{s.truth, tolerance}); problem != "" || p.Laps != c.from ||
				p.Automatic != 0 {
				t.Errorf("%d edges by laps, %d automatic: %s; want %v", p.Laps, p.Automatic, problem, s.truth)
			}
			e := s.evidence(c.laps...)
			e.IgnoreLaps = true
			if p := segment.Propose(e); p.Laps != 0 || differs(p.Blocks, day{s.truth, 12}) != "" {
				t.Errorf("without laps: %d edges by laps: %s", p.Laps, differs(p.Blocks, day{s.truth, 12}))
			}
		})
	}
}

// Where rests are run nearly as hard as blocks only laps can tell them.
func TestLapsTellRestsFromBlocks(t *testing.T) {
	s := invent(4, legs([]leg{easy(600, 190)}, repeat(4, effort(330, 268), easy(150, 240)), []leg{easy(900, 185)}))
	p := segment.Propose(s.evidence(s.laps(1, 2, 3, 4, 5, 6, 7, 8)...))
	if problem := differs(p.Blocks, day{s.truth, 3}); problem != "" {
		t.Error(problem)
	}
}

// Automatic laps are told by their equal distance.
func TestAutomaticLapsAreIgnored(t *testing.T) {
	s := invent(6, legs([]leg{easy(600, 190)}, repeat(4, effort(330, 268), easy(150, 62)), []leg{easy(900, 185)}))
	laps := func(metres float64, trigger string) []trial.Lap {
		var all []trial.Lap
		from, end := 0.0, s.edges[len(s.edges)-1]
		for at := from; at < end; at++ {
			if s.distance(at)-s.distance(from) >= metres {
				all, from = append(all, s.lap(from, at, trigger)), at
			}
		}
		return append(all, s.lap(from, end, "session_end"))
	}
	for _, trigger := range []string{"distance", "manual", ""} {
		for _, metres := range []float64{400, 1000, 1609.344} {
			automatic := laps(metres, trigger)
			p := segment.Propose(s.evidence(automatic...))
			if problem := differs(p.Blocks, day{s.truth, 12}); problem != "" || p.Laps != 0 ||
				p.Automatic != len(automatic) {
				t.Errorf("%v m, %q: %d of %d automatic, %d edges by laps: %s",
					metres, trigger, p.Automatic, len(automatic), p.Laps, problem)
			}
		}
	}
	// Automatic laps go on while somebody presses: the presses count.
	mixed := []trial.Lap{}
	for i := range len(s.edges) - 1 {
		from, to := s.edges[i], s.edges[i+1]
		for at := from; at < to; at++ {
			if s.distance(at)-s.distance(from) >= 400 {
				mixed, from = append(mixed, s.lap(from, at, "distance")), at
			}
		}
		mixed = append(mixed, s.lap(from, to, "manual"))
	}
	if p := segment.Propose(s.evidence(mixed...)); differs(p.Blocks, day{s.truth, 12}) != "" {
		t.Errorf("mixed: %s", differs(p.Blocks, day{s.truth, 12}))
	}
}

// A device may record laps only.
func TestBlocksFromLapsAlone(t *testing.T) {
	s := invent(6, legs([]leg{easy(600, 190)}, repeat(4, effort(330, 268), easy(150, 62)), []leg{easy(900, 185)}))
	p := segment.Propose(segment.Evidence{Laps: s.laps(1, 2, 3, 4, 5, 6, 7, 8)})
	if problem := differs(p.Blocks, day{s.truth, 0}); problem != "" || p.Laps != 8 || p.Effort != "" {
		t.Errorf("%d edges by laps, effort %q: %s", p.Laps, p.Effort, problem)
	}
}

// What was held, and at which target.
func TestTargetIsThatOfTheBlocks(t *testing.T) {
	s := invent(6, legs([]leg{easy(600, 190)}, repeat(4, effort(330, 268), easy(150, 62)), []leg{easy(900, 185)}))
	p := segment.Propose(s.evidence())
	if p.Effort != trial.Power || math.Abs(p.Target-268) > 3 {
		t.Errorf("effort %q, target %v; want power at 268 W", p.Effort, p.Target)
	}
	e := s.evidence()
	e.Effort = trial.Pace
	if p := segment.Propose(e); math.Abs(p.Target-250) > 3 { // 1000 m / (268/67 m/s)
		t.Errorf("pace: target %v s per km, want 250", p.Target)
	}
	e.Target = 240
	if p := segment.Propose(e); p.Target != 240 {
		t.Errorf("a target that is given is kept, got %v", p.Target)
	}
	if p := segment.Propose(segment.Evidence{}); len(p.Blocks) != 0 || units.Known(p.Target) || p.Effort != "" {
		t.Errorf("of nothing: %+v", p)
	}
}

// Four intervals of 1000 m in a workout of a real device: the oracle is its laps.
func TestRealIntervals(t *testing.T) {
	const name = "g01_run_intervals_dynamics_footpod.fit"
	src, err := os.ReadFile(filepath.Join("../../../../shared/recordings", name))
	if err != nil {
		t.Skipf("skipped: the folder of real recordings is not here: %v", err)
	}
	imp, err := recording.Read(name, src, recording.Options{})
	if err != nil {
		t.Fatal(err)
	}
	e := segment.Evidence{Samples: imp.Samples, Laps: imp.Laps, Pauses: imp.Pauses}
	var truth [][2]float64
	for _, lap := range imp.Laps {
		if lap.DistanceM == 1000 {
			truth = append(truth, [2]float64{lap.StartS, lap.EndS})
		}
	}
	if problem := differs(segment.Propose(e).Blocks, day{truth, 3}); problem != "" {
		t.Error(problem)
	}
	e.IgnoreLaps = true // the runner stopped some seconds after the lap, and fell back into a walk
	if problem := differs(segment.Propose(e).Blocks, day{truth, 25}); problem != "" {
		t.Errorf("without laps: %s", problem)
	}
}

func TestStrangeRecordings(t *testing.T) {
	run := func(watts float64, seconds int) *trial.Samples {
		s := &trial.Samples{}
		for i := range seconds {
			s.Elapsed = append(s.Elapsed, float64(i))
			s.Values[trial.PowerW] = append(s.Values[trial.PowerW], watts)
		}
		return s
	}
	for name, s := range map[string]*trial.Samples{
		"empty": {}, "one sample": run(200, 1), "all lost": run(units.Missing, 50), "all zero": run(0,
			600), "a minute": run(200, 60),
	} {
		if p := segment.Propose(segment.Evidence{Samples: s}); len(p.Blocks) != 0 {
			t.Errorf("%s: %+v", name, p.Blocks)
		}
	}
	if p := segment.Propose(segment.Evidence{Samples: run(250, 1800)}); len(p.Blocks) != 1 || p.Blocks[0].StartS != 0 ||
		p.Blocks[0].EndS != 1799 {
		t.Errorf("one effort is one block, got %+v", p.Blocks)
	}
	s := run(250, 300)
	s.Elapsed[100], s.Elapsed[200], s.Elapsed[299] = 3e8, 5, 1e15 // clocks that jump
	for _, b := range segment.Propose(segment.Evidence{Samples: s}).Blocks {
		if b.EndS-b.StartS > 4*86400+1 {
			t.Errorf("a block of %v s", b.EndS-b.StartS)
		}
	}
	p := segment.Proposal{
		Channel: trial.PowerW,
		Blocks: []segment.Found{
			{StartS: 1, EndS: 2, Mean: 250, StartLap: 2, EndLap: 2}, {StartS: 3, EndS: 4, Mean: 250},
		},
	}
	rows := p.Rows()
	if rows[0].Note != "lap 2" || !strings.HasPrefix(rows[1].Note, "found by power, 250") || rows[0].Shoe != "" ||
		rows[1].ID != "2" || rows[0].Excluded {
		t.Errorf("rows %+v", rows)
	}
}

func BenchmarkProposeHour(b *testing.B) {
	s := invent(10, legs([]leg{easy(600, 190)}, repeat(6, effort(330, 268), easy(150, 62)), []leg{easy(900, 185)}))
	b.ReportAllocs()
	for b.Loop() {
		segment.Propose(s.evidence())
	}
}
