package quality

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// everywhere is a screening that rules nothing out: every rule then looks closely at
// every block.
func everywhere(s *Screening) *Screening {
	all := *s
	every := func(r *trial.Recording) places {
		return where(0, r.Samples.Len(), func(int) bool { return true })
	}
	all.gaps = nil
	for i := range s.recordings {
		all.gaps = append(all.gaps, every(&s.recordings[i]))
	}
	for channel, r := range s.sources {
		if r != nil {
			all.frozen[channel], all.spikes[channel], all.strays[channel] = every(r), every(r), every(r)
		}
	}
	if r := s.sources[trial.DistanceM]; r != nil {
		all.falls = every(r)
	}
	return &all
}

// bend puts a fault into a recording.
func bend(t *rapid.T, s *trial.Samples) {
	channel := rapid.SampledFrom([]trial.Channel{trial.PowerW, trial.SpeedMps, trial.CadenceSpm, trial.HeartRateBpm,
		trial.DistanceM}).Draw(t, "channel")
	from := rapid.IntRange(1, s.Len()-200).Draw(t, "from")
	n := rapid.IntRange(1, 150).Draw(t, "samples")
	values := s.Values[channel]
	switch rapid.IntRange(0, 4).Draw(t, "fault") {
	case 0:
		for i := from; i < from+n && values != nil; i++ {
			values[i] = values[from]
		}
	case 1:
		if values != nil {
			values[from] *= rapid.Float64Range(0, 4).Draw(t, "factor")
		}
	case 2:
		for i := from; i < from+n && values != nil; i++ {
			values[i] = units.Missing
		}
	case 3:
		for i := from; i < s.Len(); i++ {
			s.Elapsed[i] += float64(n)
		}
	case 4:
		s.Elapsed[from] = s.Elapsed[from-1] - float64(rapid.IntRange(0, 2).Draw(t, "back"))
	}
}

// The screening passes over nothing that a close look at every block would find,
// under any trim.
func TestScreeningPassesOverNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := sound()
		for range rapid.IntRange(0, 4).Draw(t, "faults") {
			bend(t, w.samples())
		}
		screening := Screen(&w.ds, w.recordings)
		for range 3 {
			trim := &w.ds.Facts.Method.Trim
			trim.HeadS, trim.TailS = float64(rapid.IntRange(0, 200).Draw(t, "head")),
				float64(rapid.IntRange(0, 100).Draw(t, "tail"))
			blocks := steady.Session(&w.ds, w.session(), w.recordings)
			got, want := screening.Session(&w.ds, w.session(), blocks),
				everywhere(screening).Session(&w.ds, w.session(), blocks)
			if g, w := fmt.Sprintf("%+v", got), fmt.Sprintf("%+v", want); g != w {
				t.Fatalf("found\n%s\nwant\n%s", g, w)
			}
		}
	})
}

// Faults in the first window, from 180 to 435 s, are found through the screening.
func TestScreeningLeadsToFaults(t *testing.T) {
	w := sound()
	power, speed := w.values(trial.PowerW), w.values(trial.SpeedMps)
	for i := 200; i < 300; i++ {
		power[i] = power[200]
	}
	speed[320] *= 2
	found := map[trial.RuleSlug]bool{}
	for _, f := range Screen(&w.ds, w.recordings).Session(&w.ds, w.session(),
		steady.Session(&w.ds, w.session(), w.recordings)) {
		found[f.Rule] = true
	}
	for _, rule := range []trial.RuleSlug{ValueFrozen, ValueSpike} {
		if !found[rule] {
			t.Errorf("%s is not found, only %v", rule, found)
		}
	}
}

// A gap is one on the session's clock too, whatever has to be added to the recording's.
func TestGapsWithAnOffset(t *testing.T) {
	for _, offset := range []float64{units.Missing, 0, 30, -30} {
		w := sound()
		w.cut(215, 225) // of 11 s, before sample 215 of what is left
		w.cut(500, 504) // as long as is allowed
		w.recordings[0].Fact.OffsetS = offset
		if gaps := Screen(&w.ds, w.recordings).gaps[0]; len(gaps) != 1 || gaps[0] != 215 {
			t.Errorf("offset %v s: gaps before samples %v, want 215", offset, gaps)
		}
	}
}
