package sensor

import (
	"slices"
	"testing"

	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// What each outcome is computed from, by its definition: flight time is the time of a step less
// contact, the stiffnesses follow Morin et al. 2005 (J Appl Biomech 21:167), of which that of the leg
// needs speed too; all outcomes that a sensor measures rest on the power that was held.
func TestWhichErrorsBearOnWhichOutcome(t *testing.T) {
	times := []trial.Outcome{trial.Flight, trial.DutyFactor, trial.VerticalStiffness, trial.LegStiffness}
	for measured, outcomes := range map[trial.Outcome][]trial.Outcome{
		trial.Speed: {trial.Speed, trial.PacePerKm, trial.BeatsPerKm, trial.PowerPerSpeedMass, trial.LegStiffness},
		trial.Heart: {trial.Heart, trial.BeatsPerKm}, trial.Oscillation: {trial.Oscillation, trial.RisePerStep},
		trial.StepLength: {trial.StepLength, trial.RisePerStep}, trial.Cadence: append(times, trial.Cadence),
		trial.Contact: append(times, trial.Contact),
	} {
		var table Table
		table.Add("s", []Ratio{{"1", "a", "check", 1 << measured, 1}, {"2", "b", "check", 1 << measured, 1.02}})
		errors := table.Errors()
		for o := range trial.OutcomeCount {
			outcome := trial.Outcome(o)
			want := units.Missing
			if slices.Contains(outcomes, outcome) {
				want = 2
			}
			near(t, outcome.Info().Label, errors.Pct(outcome, trial.Power, "a", "b"), want, 1e-9)
		}
	}
	for effort, measured := range map[trial.Effort]trial.Outcome{trial.Power: trial.MeanPower, trial.Pace: trial.Speed,
		trial.HeartRate: trial.Heart} {
		var table Table
		table.Add("s", []Ratio{{"1", "a", "check", 1 << measured, 1}, {"2", "b", "check", 1 << measured, 1.02}})
		near(t, string(effort), table.Errors().Pct(trial.Oscillation, effort, "b", "a"), 2, 1e-9)
		near(t, "a rating", table.Errors().Pct(trial.Comfort, effort, "b", "a"), units.Missing, 0)
	}
}

// Rows are in order of check and shoe, the values of a row in that of the blocks.
func TestRowsKeepTheOrderOfBlocks(t *testing.T) {
	var table Table
	table.Add("s", []Ratio{{"1", "b", Steps, steps, 1.1}, {"2", "a", Steps, steps, 1.2}, {"3", "a", Steps, steps, 1.3},
		{"4", "b", Steps, steps, 1.4}, {"5", "b", Steps, steps, 1.5}, {"1", "a", Ground, speed, 1.6}})
	table.Add("t", []Ratio{{"1", "a", Steps, steps, 1.7}})
	want := [][]float64{{1.6}, {1.2, 1.3}, {1.1, 1.4, 1.5}, {1.7}}
	for i, row := range table.Sessions {
		if !slices.Equal(row.values, want[i]) {
			t.Errorf("row %d: %v, want %v", i, row.values, want[i])
		}
	}
	want = [][]float64{{1.6}, {1.2, 1.3, 1.7}, {1.1, 1.4, 1.5}}
	for i, row := range table.Dataset {
		if !slices.Equal(row.values, want[i]) {
			t.Errorf("row %d of the dataset: %v, want %v", i, row.values, want[i])
		}
	}
}

const steps = speed | cadence | step

// Cadence times step length within 0.05 % of speed in every block is speed written another way.
func TestStepsComputedFromSpeed(t *testing.T) {
	for _, c := range []struct {
		values   []float64
		computed bool
	}{
		{[]float64{1.0004999, 0.9995001}, true}, {[]float64{1, 1.00050025}, false}, {[]float64{0.9994998, 1}, false},
		{nil, false},
	} {
		var table Table
		for _, v := range c.values {
			table.Add("s", []Ratio{{"1", "a", Steps, steps, v}, {"1", "a", Ground, speed, 1.2}})
		}
		rows := len(table.Sessions)
		table.DropComputedSteps()
		if c.computed {
			rows /= 2
		}
		if table.StepsComputed != c.computed || len(table.Sessions) != rows {
			t.Errorf("%v: computed %v, %d rows, want %v, %d", c.values, table.StepsComputed, len(table.Sessions),
				c.computed, rows)
		}
	}
}

// A recording that could not be read is no second device, and nothing over something is no ratio.
func TestNothingToCompare(t *testing.T) {
	m := units.Missing
	ds, session, recordings := track([4]float64{4, 4, 4, 4}, [4]float64{4, 4, 4, 4}, [4]float64{m, m, m, m})
	blocks := steady.Session(ds, session, recordings)
	want := Session(ds, session, recordings, blocks)
	got := Session(ds, session, append(recordings, trial.Recording{Fact: trial.RecordingFact{File: "lost.csv"}}),
		blocks)
	if len(want) != 8 || !slices.Equal(got, want) { // steps of each block, and the speed of the watch
		t.Errorf("%+v, want %+v", got, want)
	}
	for value, n := range map[float64]int{0: 0, -1: 0, m: 0, 0.5: 1} {
		if got := known(nil, &blocks[0], Ground, speed, value); len(got) != n {
			t.Errorf("a ratio of %v: %+v", value, got)
		}
	}
}
