package steady

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func near(t *testing.T, name string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s = %v, want %v", name, got, want)
	}
}

// Worked examples of the sine-wave model, computed outside this module from the
// formulas as published (Morin et al. 2005); tolerance 1e-4 relative.
func TestSpringMass(t *testing.T) {
	for _, c := range []struct {
		mass, speed, contact, flight, leg              float64
		force, drop, vertical, compression, legK, duty float64
	}{
		{70, 3.33, 0.250, 0.100, 0.9275, 1510.132, 0.0599740, 25179.79, 0.1586241, 9520.195, 35.7143},
		{65, 4.50, 0.200, 0.130, 0.9275, 1652.670, 0.0539965, 30607.01, 0.1704747, 9694.517, 30.3030},
		{65, 3.69, 0.230, 60.0/189 - 0.230, 0.9275, 1382.496, 0.0491318, 28138.52, 0.1518995, 9101.385, 36.2250},
	} {
		s := SpringMass(c.mass, c.speed, c.contact, c.flight, c.leg)
		near(t, "peak force", s.PeakForce, c.force, 1e-4)
		near(t, "drop", s.Drop, c.drop, 1e-4)
		near(t, "vertical stiffness", s.VerticalStiffness, c.vertical, 1e-4)
		near(t, "leg compression", s.LegCompression, c.compression, 1e-4)
		near(t, "leg stiffness", s.LegStiffness, c.legK, 1e-4)
		near(t, "duty factor", 100*DutyFactor(c.contact, c.flight), c.duty, 1e-4)
	}
	// The wrong sign gives 0.2132552 m for the first row.
	if s := SpringMass(70, 3.33, 0.25, 0.1, 0.9275); s.Drop > 0.2 {
		t.Errorf("drop %v has the sign error", s.Drop)
	}
	near(t, "flight at 189 steps/min and 230 ms", 1000*FlightTime(189, 0.230), 87.4603, 1e-5)
	// Karamanidis & Arampatzis 2005 (doi 10.1242/jeb.01830, table 4) print 35.5 % for 271 ms contact and 112 ms flight.
	near(t, "published duty factor", 100*DutyFactor(0.271, 0.112), 35.5, 5e-3)
}

// steadyRun makes a one-session dataset with one recording at 1 Hz.
func steadyRun(seconds int, speed func(t float64) float64) (*trial.Dataset, *trial.Session, []trial.Recording) {
	samples := &trial.Samples{}
	for i := range seconds {
		samples.Elapsed = append(samples.Elapsed, float64(i))
		samples.Values[trial.SpeedMps] = append(samples.Values[trial.SpeedMps], speed(float64(i)))
		samples.Values[trial.PowerW] = append(samples.Values[trial.PowerW], 250)
	}
	ds := &trial.Dataset{Runners: []trial.Runner{{ID: "r", MassKg: 60, HeightCm: 175, LegLengthCm: units.Missing}}}
	ds.Facts.Method, ds.Facts.Limits = trial.DefaultMethod(), trial.DefaultLimits()
	session := &trial.Session{ID: "s", Facts: trial.SessionFacts{Effort: "power", Runner: "r"}}
	return ds, session, []trial.Recording{{Samples: samples, Fact: trial.RecordingFact{OffsetS: units.Missing}}}
}

func addBlock(s *trial.Session, start, end float64) {
	b := trial.Block{ID: "1", Shoe: "a", Start: start, End: end, Target: 250, DistanceM: units.Missing,
		Laps: units.Missing, RPE: units.Missing, ComfortMm: units.Missing}
	for m := range b.Measured {
		b.Measured[m] = units.Missing
	}
	s.Blocks = append(s.Blocks, b)
}

func TestTrimLeavesTheMiddle(t *testing.T) {
	// 3 m/s, but 9 m/s in the first 60 s and the last 15 s, which the trim cuts.
	ds, session, recordings := steadyRun(400, func(s float64) float64 {
		if s < 60 || s >= 345 {
			return 9
		}
		return 3
	})
	addBlock(session, 0, 360)
	got := Session(ds, session, recordings)[0]
	if got.Outcomes[trial.Speed] != 3 || got.From != 60 || got.To != 345 || got.CoveragePct != 100 ||
		got.Window() != 285 {
		t.Errorf("speed %v over %v-%v, coverage %v", got.Outcomes[trial.Speed], got.From, got.To, got.CoveragePct)
	}
	const what = "power per speed and mass, 250 W / (60 kg x 3 m/s)"
	near(t, what, got.Outcomes[trial.PowerPerSpeedMass], 250.0/180, 1e-12)
	near(t, "pace", got.Outcomes[trial.PacePerKm], 1000.0/3, 1e-12)
	if units.Known(got.Outcomes[trial.Heart]) {
		t.Error("heart rate was never recorded")
	}
}

func TestGapsAreNotFilled(t *testing.T) {
	ds, session, recordings := steadyRun(300, func(float64) float64 { return 3 })
	s := recordings[0].Samples
	for i := 100; i < 200; i++ { // blank cells
		s.Values[trial.SpeedMps][i] = units.Missing
	}
	addBlock(session, 0, 300)
	got := Session(ds, session, recordings)[0]
	near(t, "coverage with 100 of 225 s blank", got.CoveragePct, 100*125.0/225, 1e-12)
	s.Elapsed = append(append([]float64{}, s.Elapsed[:100]...), s.Elapsed[200:]...) // missing rows
	for c := range s.Values {
		if s.Values[c] != nil {
			s.Values[c] = append(append([]float64{}, s.Values[c][:100]...), s.Values[c][200:]...)
		}
	}
	got = Session(ds, session, recordings)[0]
	near(t, "coverage with 100 s of rows missing", got.CoveragePct, 100*125.0/225, 1e-12)
}

// Uneven sampling: a sample stands for the time until the next one, so 2 m/s
// held for 4 s and 4 m/s held for 1 s average 2.4 m/s, whatever the counts.
func TestMeanIsWeightedByTime(t *testing.T) {
	s := &trial.Samples{Elapsed: []float64{0, 4, 5, 9, 10}}
	s.Values[trial.SpeedMps] = []float64{2, 4, 2, 4, 2}
	track := &track{elapsed: s.Elapsed, values: s.Values[trial.SpeedMps], stands: standing(s, 5)}
	mean, covered := track.mean(0, 10)
	if mean != 2.4 || covered != 10 {
		t.Errorf("mean %v over %v s", mean, covered)
	}
	if mean, covered = track.mean(1, 4.5); mean != (3*2+0.5*4)/3.5 || covered != 3.5 {
		t.Errorf("cut inside samples: mean %v over %v s", mean, covered)
	}
}

func TestOffsetMovesTheRecording(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		offset := float64(rapid.IntRange(-50, 50).Draw(t, "offset"))
		ds, session, recordings := steadyRun(600, func(s float64) float64 { return 3 + s/1000 })
		addBlock(session, 100, 400)
		plain := Session(ds, session, recordings)[0]
		session.Blocks[0].Start, session.Blocks[0].End = 100+offset, 400+offset
		recordings[0].Fact.OffsetS = offset
		moved := Session(ds, session, recordings)[0]
		if math.Abs(moved.Outcomes[trial.Speed]-plain.Outcomes[trial.Speed]) > 1e-12 {
			t.Fatalf("offset %v changed %v to %v", offset, plain.Outcomes[trial.Speed], moved.Outcomes[trial.Speed])
		}
	})
}

func TestMeasuredColumnsWithoutRecording(t *testing.T) {
	ds, session, _ := steadyRun(1, func(float64) float64 { return 0 })
	addBlock(session, units.Missing, units.Missing)
	session.Blocks[0].Measured[trial.MeasureSpeed] = 3.5
	session.Blocks[0].Measured[trial.MeasureOxygen] = 43.5
	got := Session(ds, session, nil)[0]
	if got.Outcomes[trial.Speed] != 3.5 || got.Outcomes[trial.Oxygen] != 43.5 || units.Known(got.CoveragePct) ||
		units.Known(got.Midpoint) {
		t.Errorf("got %+v", got)
	}
	addBlock(session, 0, 300)
	session.Blocks[1].DistanceM = 1200
	if got = Session(ds, session, nil)[1]; got.Outcomes[trial.Speed] != 4 {
		t.Errorf("1200 m in 300 s gives %v", got.Outcomes[trial.Speed])
	}
}

func TestSourceByDevice(t *testing.T) {
	make := func(device string, channels ...trial.Channel) trial.Recording {
		s := &trial.Samples{Elapsed: []float64{0}}
		for _, c := range channels {
			s.Values[c] = []float64{1}
		}
		return trial.Recording{Samples: s, Fact: trial.RecordingFact{Device: device}}
	}
	recordings := []trial.Recording{make("watch", trial.SpeedMps, trial.HeartRateBpm),
		make("pod", trial.SpeedMps, trial.PowerW)}
	sources := Sources(trial.Method{Channels: map[string]string{"speed_mps": "pod"}}, recordings)
	if sources[trial.SpeedMps] != &recordings[1] || sources[trial.PowerW] != &recordings[1] ||
		sources[trial.HeartRateBpm] != &recordings[0] || sources[trial.AirC] != nil {
		t.Errorf("sources %v", sources)
	}
	if sources = Sources(trial.Method{}, recordings); sources[trial.SpeedMps] != &recordings[0] {
		t.Error("without a named device the first recording listed wins")
	}
}
