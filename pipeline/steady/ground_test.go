package steady

import (
	"math"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Laps of a standard track by lane: 2 x 84.39 m + 2 pi r with r = 36.80 m in lane
// 1 and 36.50 + 1.22 (n-1) + 0.20 m outside it (geometry of the World Athletics
// facilities manual as restated in secondary sources). Published staggers are 1 mm
// longer, because they start from 400.000 m (from memory).
func TestLapLength(t *testing.T) {
	for i, want := range []float64{400.001, 407.038, 414.704, 422.369, 430.035, 437.700, 445.366, 453.031} {
		if got := LapLength(400.001, float64(i+1)); !(math.Abs(got-want) < 1e-3) {
			t.Errorf("lane %d: %v m, want %v", i+1, got, want)
		}
	}
	for i, stagger := range []float64{0, 7.038, 14.704, 22.370} {
		if got := LapLength(400, float64(i+1)) - 400; !(math.Abs(got-stagger) < 5e-3) {
			t.Errorf("stagger of lane %d: %v m, want %v", i+1, got, stagger)
		}
	}
	if got := LapLength(400, units.Missing); got != 400 {
		t.Errorf("without a lane: %v", got)
	}
	for _, lane := range []float64{0, -1, 1.5} {
		if got := LapLength(400, lane); units.Known(got) {
			t.Errorf("lane %v: %v m", lane, got)
		}
	}
}

func TestGroundDistance(t *testing.T) {
	m := units.Missing
	track := &trial.Venue{LapM: 400, Lane: 2}
	for _, c := range []struct {
		name           string
		distance, laps float64
		venue          *trial.Venue
		want           float64
	}{
		{"written down", 1350, 3, track, 1350},
		{"laps", m, 3.5, track, 3.5 * 407.037},
		{"laps of a venue without a lap", m, 3, &trial.Venue{LapM: m, Lane: m}, m},
		{"laps of no venue", m, 3, nil, m},
		{"neither", m, m, track, m},
	} {
		got := GroundDistance(&trial.Block{DistanceM: c.distance, Laps: c.laps}, c.venue)
		if units.Known(got) != units.Known(c.want) || math.Abs(got-c.want) > 5e-3 {
			t.Errorf("%s: %v m, want %v", c.name, got, c.want)
		}
	}
}

// A recording without a distance channel covers its speed times the block's time,
// but only when the speed covers the block.
func TestDistanceOfASpeed(t *testing.T) {
	ds, session, recordings := steadyRun(400, func(float64) float64 { return 3 })
	addBlock(session, 0, 300)
	if got := Session(ds, session, recordings)[0]; got.SensorDistanceM != 900 || units.Known(got.DistanceSpeed) {
		t.Errorf("distance %v, speed from distance %v", got.SensorDistanceM, got.DistanceSpeed)
	}
	for i := 10; i < 15; i++ {
		recordings[0].Samples.Values[trial.SpeedMps][i] = units.Missing
	}
	if got := Session(ds, session, recordings)[0]; units.Known(got.SensorDistanceM) {
		t.Errorf("5 of 300 s lack: distance %v", got.SensorDistanceM)
	}
	s := recordings[0].Samples
	for i := range s.Elapsed {
		s.Values[trial.DistanceM] = append(s.Values[trial.DistanceM], 2.5*float64(i))
	}
	if got := Session(ds, session, recordings)[0]; got.SensorDistanceM != 750 || got.DistanceSpeed != 2.5 ||
		got.Outcomes[trial.Speed] != 3 {
		t.Errorf("distance %v, speed from distance %v", got.SensorDistanceM, got.DistanceSpeed)
	}
	s.Values[trial.SpeedMps] = nil
	if got := Session(ds, session, recordings)[0]; got.Outcomes[trial.Speed] != 2.5 {
		t.Errorf("speed %v without a speed channel", got.Outcomes[trial.Speed])
	}
}
