package steady

import (
	"math"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// lapped summarises one block of a runner at 4 m/s on a track of 400 m, cut to whole laps
// after 60 s (180 s for heart rate) and before the last 15 s. bend changes what it is given.
func lapped(bend func(*trial.Dataset, *trial.Session, *trial.Samples)) Summary {
	m := units.Missing
	ds := &trial.Dataset{Facts: trial.DatasetFacts{Method: trial.DefaultMethod(), Limits: trial.DefaultLimits()},
		Venues: []trial.Venue{{ID: "track", LapM: 400, Lane: 1}}}
	ds.Facts.Method.Trim.Laps = trial.WholeLaps
	b := trial.Block{ID: "1", Shoe: "a", Start: 0, End: 600, Target: m, DistanceM: m, Laps: m}
	for i := range b.Measured {
		b.Measured[i] = m
	}
	session := &trial.Session{ID: "s", Facts: trial.SessionFacts{Effort: "power", Venue: "track"},
		Blocks: []trial.Block{b}}
	samples := &trial.Samples{}
	for t := range 901 {
		samples.Elapsed = append(samples.Elapsed, float64(t))
		samples.Values[trial.DistanceM] = append(samples.Values[trial.DistanceM], 4*float64(t))
		samples.Values[trial.SpeedMps] = append(samples.Values[trial.SpeedMps], 4)
		samples.Values[trial.HeartRateBpm] = append(samples.Values[trial.HeartRateBpm], 150)
	}
	bend(ds, session, samples)
	return Session(ds, session, []trial.Recording{{Fact: trial.RecordingFact{File: "f.csv", OffsetS: m},
		Samples: samples}})[0]
}

// By hand. The seconds of the trim leave 60 to 585 s, 2100 m: 5 laps of 400 m take 500 s. In
// lane 2 a lap is 400 + 2 pi 1.12 = 407.04 m (World Athletics, see LapLength), so 5 take 508.8 s.
// Where 2520 m were measured and 2400 recorded, a lap is 400/1.05 = 380.95 recorded metres and
// 5 take 476.2 s. From 180 s there are 1620 m of heart rate: 4 laps, 400 s.
func TestWholeLaps(t *testing.T) {
	none := func(*trial.Dataset, *trial.Session, *trial.Samples) {}
	noDistance := func(_ *trial.Dataset, _ *trial.Session, s *trial.Samples) { s.Values[trial.DistanceM] = nil }
	for _, c := range []struct {
		name           string
		bend           func(*trial.Dataset, *trial.Session, *trial.Samples)
		to, heartRates float64
	}{
		{"by distance", none, 560, 580},
		{"by speed", noDistance, 560, 580},
		{"in lane 2", func(ds *trial.Dataset, _ *trial.Session, _ *trial.Samples) { ds.Venues[0].Lane = 2 }, 568.8,
			180 + math.Round(10*3*407.0372/4)/10},
		{"by the distance on the ground", func(_ *trial.Dataset, s *trial.Session, _ *trial.Samples) {
			s.Blocks[0].DistanceM = 2520
		}, 536.2, 561},
		{"by counted laps", func(_ *trial.Dataset, s *trial.Session, _ *trial.Samples) { s.Blocks[0].Laps = 6.3 },
			536.2,
			561},
		{"exactly five laps", func(_ *trial.Dataset, s *trial.Session, _ *trial.Samples) { s.Blocks[0].End = 575 }, 560,
			480},
		{"fewer than one lap", func(_ *trial.Dataset, s *trial.Session, _ *trial.Samples) { s.Blocks[0].End = 174 },
			159,
			159},
		{"one lap and no more", func(_ *trial.Dataset, s *trial.Session, _ *trial.Samples) { s.Blocks[0].End = 180 },
			160,
			165},
		{"neither distance nor speed", func(_ *trial.Dataset, _ *trial.Session, s *trial.Samples) {
			s.Values[trial.DistanceM], s.Values[trial.SpeedMps] = nil, nil
		}, 585, 585},
		{
			"no lap length",
			func(ds *trial.Dataset, _ *trial.Session, _ *trial.Samples) { ds.Venues[0].LapM = units.Missing }, 585, 585,
		},
		{"no venue", func(_ *trial.Dataset, s *trial.Session, _ *trial.Samples) { s.Facts.Venue = "" }, 585, 585},
		{
			"not asked for",
			func(ds *trial.Dataset, _ *trial.Session, _ *trial.Samples) { ds.Facts.Method.Trim.Laps = "" }, 585, 585,
		},
	} {
		got := lapped(c.bend)
		if got.From != 60 || math.Abs(got.To-c.to) > 1e-9 || got.HeartFrom != 180 ||
			math.Abs(got.HeartTo-c.heartRates) > 1e-9 {
			t.Errorf("%s: %v to %v and %v to %v, want 60 to %v and 180 to %v", c.name, got.From, got.To, got.HeartFrom,
				got.HeartTo, c.to, c.heartRates)
		}
	}
}

// The mean is that of the laps: a straight run faster than the bends averages out over whole
// laps. By hand: 100 m at 5 m/s and 300 m at 3.75 m/s, in turn, are 100 s a lap and 4 m/s.
func TestWholeLapsAverageOutTheBends(t *testing.T) {
	got := lapped(func(_ *trial.Dataset, s *trial.Session, samples *trial.Samples) {
		metres := 0.0
		for i := range samples.Elapsed {
			speed := 3.75
			if (i-60)%100 < 20 && i >= 60 {
				speed = 5
			}
			samples.Values[trial.SpeedMps][i], samples.Values[trial.DistanceM][i] = speed, metres
			metres += speed
		}
		s.Blocks[0].End = 560 + 15 - 30 // the seconds end within a fast stretch
	})
	if got.To != 460 || math.Abs(got.Outcomes[trial.Speed]-4) > 1e-9 {
		t.Errorf("to %v s at %v m/s, want 460 s at 4 m/s", got.To, got.Outcomes[trial.Speed])
	}
}

// A gap of the distance channel is bridged on a straight line; outside of what is known there
// are no laps.
func TestTrackAt(t *testing.T) {
	tr := track{elapsed: []float64{0, 10, 20, 30}, values: []float64{units.Missing, 40, units.Missing, 120},
		offset: 100}
	for at, want := range map[float64]float64{110: 40, 120: 80, 125: 100, 130: 120, 105: units.Missing,
		131: units.Missing} {
		if got := tr.at(at); units.Known(got) != units.Known(want) || math.Abs(got-want) > 1e-12 {
			t.Errorf("at %v s: %v, want %v", at, got, want)
		}
	}
}
