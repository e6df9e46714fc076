package answer

import (
	"math"
	"testing"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// A sensor counts as one on the shoe unless its mount says that it is not.
func TestSourceOfMounts(t *testing.T) {
	for mount, onShoe := range map[string]bool{
		"": true, "left shoe": true, "laces": true, "wrist": false, "Left wrist": false, "chest strap": false,
		"upper arm": false, "waist": false, "belt": false, "in the hand": false, "treadmill": false, "pocket": false,
	} {
		got := SourceOf(trial.RecordingFact{File: "a.csv", Device: "d", Mount: mount})
		if got.OnShoe != onShoe || got.Device != "d" {
			t.Errorf("%q: %+v, want on the shoe %v", mount, got, onShoe)
		}
	}
	if got := SourceOf(trial.RecordingFact{File: "a.csv"}); got.Device != "a.csv" {
		t.Errorf("a recording without a device is named %q", got.Device)
	}
}

// A block takes part with the means of the window that is asked for, and only with an outcome.
func TestModelBlocks(t *testing.T) {
	blocks := []Block{
		{Session: "s", Shoe: "alder", Effort: trial.Power, Target: 250, Midpoint: 1800, Speed: onFoot,
			Windows: []Means{{Speed: 4, Effort: 250}, {Speed: 5, Effort: 260}}},
		{Session: "s", Shoe: "birch", Effort: trial.Power, Windows: []Means{{Speed: units.Missing, Effort: 250}}},
		{Session: "s", Shoe: "cedar", Effort: trial.Power, Target: 250, Sensor: "left", Speed: onFoot,
			Windows: []Means{{Speed: 4.5, HeartRate: 150, Effort: 250}}},
	}
	sensed, which := modelBlocks(blocks, 0, trial.Speed)
	if len(sensed) != 2 || which[0] != 0 || which[1] != 2 {
		t.Fatalf("blocks %v: %+v", which, sensed)
	}
	first := decide.SensedBlock{Sensor: "foot", Block: decide.Block{Session: "s", Level: "power 250", Shoe: "alder",
		Y: math.Log(4), TimeH: 0.5}}
	first.Y = sensed[0].Y // checked below, to a rounding
	if sensed[0] != first || sensed[1].Sensor != "left" {
		t.Errorf("%+v, want %+v and the sensor left", sensed, first)
	}
	near(t, "logarithm of 4 m/s", sensed[0].Y, math.Log(4), 1e-15)
	if other, which := modelBlocks(blocks, 1, trial.Speed); len(other) != 1 || which[0] != 0 {
		t.Errorf("the second window has %+v", other)
	}
	if heart, _ := modelBlocks(blocks, 0, trial.Heart); len(heart) != 1 || heart[0].Shoe != "cedar" {
		t.Errorf("heart rate has %+v", heart)
	}
}

// Only a block with a recording and both distances says something of its sensor.
func TestGroundBlocks(t *testing.T) {
	full := Block{Session: "s", Shoe: "alder", Speed: onFoot, GroundM: 1200, SensorM: 1212}
	byHand, noGround, noSensor := full, full, full
	byHand.Speed.Device, noGround.GroundM, noSensor.SensorM = "", units.Missing, units.Missing
	got := groundBlocks([]Block{full, byHand, noGround, noSensor})
	if len(got) != 1 || got[0].Shoe != "alder" || got[0].Sensor != "foot" || got[0].GroundM != 1200 {
		t.Fatalf("%+v", got)
	}
	near(t, "ratio", got[0].LogRatio, math.Log(1200./1212), 1e-15)
}
