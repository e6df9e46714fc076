package quality

import (
	"slices"
	"testing"

	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// fixture is a dataset of one session with one recording, which a case bends until
// a rule speaks.
type fixture struct {
	ds         trial.Dataset
	recordings []trial.Recording
	content    map[string]string
}

func (w *fixture) session() *trial.Session          { return &w.ds.Sessions[0] }
func (w *fixture) other() *trial.Session            { return &w.ds.Sessions[1] }
func (w *fixture) block(i int) *trial.Block         { return &w.ds.Sessions[0].Blocks[i] }
func (w *fixture) samples() *trial.Samples          { return w.recordings[0].Samples }
func (w *fixture) limits() *trial.Limits            { return &w.ds.Facts.Limits }
func (w *fixture) facts() *trial.SessionFacts       { return &w.ds.Sessions[0].Facts }
func (w *fixture) values(c trial.Channel) []float64 { return w.recordings[0].Samples.Values[c] }

// Timing of the sound session: four blocks of 330 s, 150 s apart; the steady
// window of the first runs from 180 to 435 s.
const (
	firstStart, blockS, apartS = 120.0, 330.0, 480.0
	soundSamples               = 2040
)

// sound is a session to which no rule has anything to say: A B B A at exactly
// 250 W on average, one sample a second, cadence times step length exactly the
// speed, laps exactly the ground. A second session, by another runner, was written
// down by hand.
func sound() *fixture {
	w := &fixture{ds: trial.Dataset{
		Runners: []trial.Runner{{ID: "one", MassKg: 65, HeightCm: 175}, {ID: "two", MassKg: 70, HeightCm: 180}},
		Venues:  []trial.Venue{{ID: "track", Kind: "track", LapM: 400, Lane: 1, AltitudeM: 0}},
		Facts:   trial.DatasetFacts{Method: trial.DefaultMethod(), Limits: trial.DefaultLimits()},
		Shoes: []trial.Shoe{{ID: "alder", MassG: 240, At: trial.Position{File: "shoes.csv", Line: 2, Column: 1}},
			{ID: "birch", MassG: 210}, {ID: "cedar", MassG: 225}},
		Sessions: []trial.Session{
			{ID: "monday", At: trial.Position{File: "sessions/monday/session.yaml"},
				Facts: soundFacts("one"), Plan: &trial.PlanFacts{}},
			{ID: "tuesday", At: trial.Position{File: "sessions/tuesday/session.yaml"},
				Facts: soundFacts("two"), Plan: &trial.PlanFacts{}},
		},
	}}
	w.order("ABBA")
	w.other().Blocks = lined("BAAB")
	w.recordings = []trial.Recording{{Fact: trial.RecordingFact{File: "pod.csv", Device: "pod"},
		Samples: soundSamplesOf()}}
	return w
}

// planned gives the session a plan that it was run by.
func (w *fixture) planned() {
	w.session().Plan = &trial.PlanFacts{
		Shoes: []string{"alder", "birch"}, Order: []string{"alder", "birch", "birch",
			"alder"}, Effort: "power", Target: "250", BlockS: blockS, RestS: apartS - blockS, WarmUpS: none,
		Rules: w.ds.RulesOf(trial.Power),
	}
}

func soundFacts(runner string) trial.SessionFacts {
	return trial.SessionFacts{
		Runner: runner, Venue: "track", Effort: "power", Target: "250", Protocol: trial.Protocol{WarmUpS: 900},
		Conditions: trial.Conditions{AirC: 15, HumidityPct: 50, PressureHpa: units.Missing, WindMps: 1,
			WbgtC: units.Missing, Surface: "dry"},
		Recordings: []trial.RecordingFact{{File: "pod.csv", Device: "pod", Mount: "left shoe"}},
	}
}

func soundBlock(i int, shoe string) trial.Block {
	m := units.Missing
	b := trial.Block{ID: string(rune('1' + i)), Shoe: shoe, Start: firstStart + float64(i)*apartS, Target: 250,
		DistanceM: 3.75 * blockS, Laps: m, RPE: m, ComfortMm: m,
		At: trial.Position{File: "sessions/monday/blocks.csv", Line: i + 2, Column: 1}}
	b.End = b.Start + blockS
	for measure := range b.Measured {
		b.Measured[measure] = m
	}
	return b
}

func soundSamplesOf() *trial.Samples {
	s := &trial.Samples{}
	steady := []struct {
		channel      trial.Channel
		value, swing float64
	}{{trial.PowerW, 250, 2}, {trial.SpeedMps, 3.75, 0.03125}, {trial.CadenceSpm, 180, 2},
		{trial.StepLengthM, 1.25, 0.015625}, {trial.ContactMs, 240, 4}, {trial.OscillationCm, 8, 0.25},
		{trial.HeartRateBpm, 155, 1}}
	for t := range soundSamples {
		s.Elapsed = append(s.Elapsed, float64(t))
		for _, q := range steady {
			s.Values[q.channel] = append(s.Values[q.channel], q.value+q.swing*float64(t%3-1))
		}
	}
	return s
}

// fill sets a channel within block i, from its start to its end.
func (w *fixture) fill(i int, c trial.Channel, value float64) {
	for t, at := range w.samples().Elapsed {
		if at >= w.block(i).Start && at < w.block(i).End {
			w.values(c)[t] = value
		}
	}
}

// write sets a channel within block i, second by second of the session.
func (w *fixture) write(i int, c trial.Channel, value func(t float64) float64) {
	for t, at := range w.samples().Elapsed {
		if at >= w.block(i).Start && at < w.block(i).End {
			w.values(c)[t] = value(at)
		}
	}
}

// walkOn gives the recording a distance channel, at 3.75 m/s throughout.
func (w *fixture) walkOn() {
	for _, at := range w.samples().Elapsed {
		w.samples().Values[trial.DistanceM] = append(w.samples().Values[trial.DistanceM], 3.75*at)
	}
}

// air gives the recording an air temperature, the same throughout.
func (w *fixture) air(celsius float64) {
	for range w.samples().Elapsed {
		w.samples().Values[trial.AirC] = append(w.samples().Values[trial.AirC], celsius)
	}
}

// cut takes the samples [from, to) out of the recording.
func (w *fixture) cut(from, to int) {
	s := w.samples()
	s.Elapsed = append(s.Elapsed[:from:from], s.Elapsed[to:]...)
	for c := range s.Values {
		if s.Values[c] != nil {
			s.Values[c] = append(s.Values[c][:from:from], s.Values[c][to:]...)
		}
	}
}

// order gives the session blocks of these shoes, one letter each, in sound
// places.
func (w *fixture) order(letters string) {
	w.session().Blocks = lined(letters)
}

func lined(letters string) (blocks []trial.Block) {
	shoe := map[rune]string{'A': "alder", 'B': "birch", 'C': "cedar"}
	for i, letter := range letters {
		blocks = append(blocks, soundBlock(i, shoe[letter]))
	}
	return blocks
}

// held sets the mean of a measure of blocks of the other session, which was written by hand.
func (w *fixture) held(measure trial.Measure, values ...float64) {
	for i, v := range values {
		w.other().Blocks[i].Measured[measure] = v
	}
}

// findings runs every rule over the fixture.
func (w *fixture) findings() []trial.Finding {
	summaries := steady.Session(&w.ds, w.session(), w.recordings)
	var compared []*steady.Summary
	all := slices.Clone(summaries)
	for i := 1; i < len(w.ds.Sessions); i++ {
		all = append(all, steady.Session(&w.ds, &w.ds.Sessions[i], nil)...)
	}
	for i, s := range all {
		if i >= len(summaries) || !w.block(i).Excluded {
			compared = append(compared, &s)
		}
	}
	return append(Screen(&w.ds, w.recordings).Session(&w.ds, w.session(), summaries), Dataset(&w.ds,
		compared, w.content)...)
}

// of selects the findings of one rule.
func of(rule trial.RuleSlug, all []trial.Finding) []trial.Finding {
	var selected []trial.Finding
	for _, f := range all {
		if f.Rule == rule {
			selected = append(selected, f)
		}
	}
	return selected
}

func TestNothingToSayAboutASoundSession(t *testing.T) {
	if found := sound().findings(); len(found) > 0 {
		t.Errorf("findings about a sound session: %+v", found)
	}
}
