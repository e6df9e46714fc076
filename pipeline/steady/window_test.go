package steady

import (
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// The median of the steps between samples, by hand.
func TestTypicalStep(t *testing.T) {
	for _, c := range []struct {
		elapsed []float64
		want    float64
	}{{nil, 0}, {[]float64{7}, 0}, {[]float64{7, 9}, 2}, {[]float64{0, 1, 2, 10}, 1}, {[]float64{0, 2, 3}, 1.5},
		{[]float64{0, 5, 6, 8}, 2}, {[]float64{3, 6, 9}, 3}} {
		if got := TypicalStep(&trial.Samples{Elapsed: c.elapsed}); got != c.want {
			t.Errorf("%v: %v s, want %v", c.elapsed, got, c.want)
		}
	}
}

// A block is taken from the first recording that covers half of it, else from the one that covers
// most.
func TestCovering(t *testing.T) {
	covers := func(seconds float64) *track {
		return &track{elapsed: []float64{0}, values: []float64{4}, stands: []float64{seconds}}
	}
	b := &trial.Block{Start: 0, End: 100}
	for _, c := range []struct {
		seconds []float64
		want    int
	}{{[]float64{0}, 0}, {[]float64{50, 100}, 0}, {[]float64{49, 100}, 1}, {[]float64{10, 50, 100}, 1},
		{[]float64{30, 40}, 1}, {[]float64{40, 30}, 0}, {[]float64{30, 30}, 0}, {[]float64{0, 0, 1}, 2}} {
		var tracks []*track
		for _, seconds := range c.seconds {
			tracks = append(tracks, covers(seconds))
		}
		if got := covering(tracks, b); got != tracks[c.want] {
			t.Errorf("recordings that cover %v of 100 s: not number %d", c.seconds, c.want)
		}
	}
	if covering(nil, b) != nil {
		t.Error("a recording where there is none")
	}
}

// Blocks are numbered from 1 in the order of the session.
func TestOrderOfBlocks(t *testing.T) {
	ds, session, recordings := steadyRun(1000, func(float64) float64 { return 4 })
	for i := range 3 {
		addBlock(session, float64(300*i), float64(300*i+300))
	}
	for i, s := range Session(ds, session, recordings) {
		if s.Order != i+1 || s.Midpoint != float64(300*i+150) {
			t.Errorf("block %d has order %d and midpoint %v", i+1, s.Order, s.Midpoint)
		}
	}
}

// What comes out as nothing is not measured: a rise of 0 cm is none.
func TestNothingIsMissing(t *testing.T) {
	s := gaitOf(&trial.Runner{MassKg: 60}, 4, 180, 240)
	s.Outcomes[trial.Oscillation], s.Outcomes[trial.StepLength] = 0, 1.2
	deriveGait(&s, nil)
	if got := s.Outcomes[trial.RisePerStep]; units.Known(got) {
		t.Errorf("rise per step %v", got)
	}
	s.Outcomes[trial.Oscillation] = 8.4
	deriveGait(&s, nil)
	near(t, "rise per step", s.Outcomes[trial.RisePerStep], 7, 1e-12)
}

// Between the first two samples a channel is on the line between them; before the first and after
// the last it is not known.
func TestAtTheEndsOfATrack(t *testing.T) {
	track := &track{elapsed: []float64{0, 10, 20}, values: []float64{100, 140, 150}}
	for time, want := range map[float64]float64{0: 100, 2.5: 110, 10: 140, 15: 145, 20: 150} {
		near(t, "value", track.at(time), want, 1e-12)
	}
	if units.Known(track.at(-0.5)) || units.Known(track.at(20.5)) {
		t.Errorf("%v before the first sample and %v after the last", track.at(-0.5), track.at(20.5))
	}
}
