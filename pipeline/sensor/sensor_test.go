package sensor

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// track is a session of two shoes, A B B A, blocks of 300 s, with a foot sensor and
// a watch that both have a speed.
func track(footSpeed, watchSpeed [4]float64, metres [4]float64) (*trial.Dataset, *trial.Session, []trial.Recording) {
	ds := &trial.Dataset{Facts: trial.DatasetFacts{Method: trial.DefaultMethod(), Limits: trial.DefaultLimits()}}
	ds.Facts.Method.Channels = map[string]string{"speed_mps": "foot"}
	session := &trial.Session{ID: "s", Facts: trial.SessionFacts{Effort: "power"}}
	foot, watch := &trial.Samples{}, &trial.Samples{}
	for i, shoe := range []string{"a", "b", "b", "a"} {
		b := trial.Block{ID: string(rune('1' + i)), Shoe: shoe, Start: float64(300 * i), End: float64(300 * (i + 1)),
			DistanceM: metres[i], Laps: units.Missing}
		for m := range b.Measured {
			b.Measured[m] = units.Missing
		}
		session.Blocks = append(session.Blocks, b)
		for t := b.Start; t < b.End; t++ {
			foot.Elapsed, watch.Elapsed = append(foot.Elapsed, t), append(watch.Elapsed, t)
			foot.Values[trial.SpeedMps] = append(foot.Values[trial.SpeedMps], footSpeed[i])
			foot.Values[trial.CadenceSpm] = append(foot.Values[trial.CadenceSpm], 180)
			foot.Values[trial.StepLengthM] = append(foot.Values[trial.StepLengthM], 1.25)
			watch.Values[trial.SpeedMps] = append(watch.Values[trial.SpeedMps], watchSpeed[i])
			watch.Values[trial.HeartRateBpm] = append(watch.Values[trial.HeartRateBpm], 150)
		}
	}
	return ds, session, []trial.Recording{
		{Fact: trial.RecordingFact{File: "foot.csv", Device: "foot", OffsetS: units.Missing}, Samples: foot},
		{Fact: trial.RecordingFact{File: "watch.csv", OffsetS: units.Missing}, Samples: watch},
	}
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if units.Known(got) != units.Known(want) || math.Abs(got-want) > tolerance {
		t.Errorf("%s: %.10g, want %.10g", what, got, want)
	}
}

// By hand: 4 m/s over 300 s is 1200 m by the sensor; 180 steps/min of 1.25 m are
// 3.75 m/s.
func TestSessionByHand(t *testing.T) {
	m := units.Missing
	ds, session, recordings := track([4]float64{4, 4.1, 4.2, 4}, [4]float64{4.04, 4.1, 4.2, 4},
		[4]float64{1200, 1200, m, 1250})
	blocks := steady.Session(ds, session, recordings)
	ratios := Session(ds, session, recordings, blocks)
	want := []Ratio{
		{"1", "a", Ground, speed, 1}, {"2", "b", Ground, speed, 1230.0 / 1200}, {"4", "a", Ground, speed, 0.96},
		{"1", "a", Steps, speed | cadence | step, 3.75 / 4}, {"2", "b", Steps, speed | cadence | step, 3.75 / 4.1},
		{"3", "b", Steps, speed | cadence | step, 3.75 / 4.2}, {"4", "a", Steps, speed | cadence | step, 3.75 / 4},
		{"1", "a", "speed_mps watch.csv/foot", speed, 1.01}, {"2", "b", "speed_mps watch.csv/foot", speed, 1},
		{"3", "b", "speed_mps watch.csv/foot", speed, 1}, {"4", "a", "speed_mps watch.csv/foot", speed, 1},
	}
	if len(ratios) != len(want) {
		t.Fatalf("%d ratios, want %d: %+v", len(ratios), len(want), ratios)
	}
	for i, w := range want {
		got := ratios[i]
		near(t, w.Check+" of block "+w.Block, got.Value, w.Value, 1e-12)
		got.Value, w.Value = 0, 0
		if got != w {
			t.Errorf("ratio %d: %+v, want %+v", i, got, w)
		}
	}
	if ratios := Session(ds, session, nil, steady.Session(ds, session, nil)); len(ratios) > 0 {
		t.Errorf("without recordings: %+v", ratios)
	}
}

// tabulate adds ratios session by session.
func tabulate(sessions map[string][]Ratio, order ...string) *Table {
	t := &Table{}
	for _, s := range order {
		t.Add(s, sessions[s])
	}
	return t
}

// By hand: shoe a has 1.00 and 0.96, mean 0.98, standard deviation 0.0282843,
// limits 0.98 -+ 1.959964 times that.
func TestTable(t *testing.T) {
	ground := func(shoe string, v float64) Ratio { return Ratio{Shoe: shoe, Check: Ground, Outcomes: speed, Value: v} }
	table := tabulate(map[string][]Ratio{
		"one": {ground("a", 1), {Shoe: "a", Check: "cadence_spm watch/foot", Outcomes: cadence, Value: 1.1},
			ground("b", 1.02)}, "two": {ground("a", 0.96)},
	}, "two", "one", "none")
	want := []struct {
		session, shoe, check string
		ratio, sd, low       float64
		blocks               int
	}{
		{"", "a", "cadence_spm watch/foot", 1.1, units.Missing, units.Missing, 1},
		{"", "a", Ground, 0.98, 0.0282842712, 0.924563847, 2},
		{"", "b", Ground, 1.02, units.Missing, units.Missing, 1},
		{"two", "a", Ground, 0.96, units.Missing, units.Missing, 1},
		{"one", "a", "cadence_spm watch/foot", 1.1, units.Missing, units.Missing, 1},
		{"one", "a", Ground, 1, units.Missing, units.Missing, 1},
		{"one", "b", Ground, 1.02, units.Missing, units.Missing, 1},
	}
	got := append(append([]Row(nil), table.Dataset...), table.Sessions...)
	if len(got) != len(want) {
		t.Fatalf("%d rows, want %d: %+v", len(got), len(want), got)
	}
	for i, w := range want {
		r := &got[i]
		if r.Session != w.session || r.Shoe != w.shoe || r.Check != w.check || r.Blocks() != w.blocks {
			t.Errorf("row %d: %+v, want %+v", i, r, w)
		}
		near(t, "ratio", r.Ratio(), w.ratio, 1e-12)
		near(t, "standard deviation", r.SD(), w.sd, 1e-9)
		near(t, "lower limit", r.Agreement().Lower.Value, w.low, 1e-9)
	}
}

// Only checks that bear on the outcome count, and the worst of them.
func TestErrorPct(t *testing.T) {
	row := func(check, shoe string, ratio float64, outcomes ...trial.Outcome) Row {
		r := Row{Check: check, Shoe: shoe, values: []float64{ratio}}
		for _, o := range outcomes {
			r.outcomes |= 1 << o
		}
		return r
	}
	table := Table{Dataset: []Row{
		row(Ground, "a", 1.02, trial.Speed), row(Ground, "b", 1, trial.Speed), row(Ground, "c", 1, trial.Speed),
		row(Steps, "a", 1, trial.Speed, trial.Cadence, trial.StepLength), row(Steps, "b", 0.97, trial.Speed,
			trial.Cadence, trial.StepLength),
		row("heart_rate_bpm x/y", "a", 1, trial.Heart), row("heart_rate_bpm x/y", "b", 1.25, trial.Heart),
		row("power_w x/y", "a", 1, trial.MeanPower), row("power_w x/y", "b", 1.01, trial.MeanPower),
	}}
	m := units.Missing
	steps := float64(100 * (1/0.97 - 1))
	for _, c := range []struct {
		outcome         trial.Outcome
		effort          trial.Effort
		shoe, reference string
		want            float64
	}{
		{trial.Speed, trial.Power, "a", "b", steps}, {trial.Speed, trial.Power, "b", "a", steps},
		{trial.PacePerKm, trial.Power, "a", "b", steps},
		{trial.Speed, trial.Power, "a", "c", 2}, {trial.Speed, trial.Power, "c", "d", m},
		{trial.Heart, trial.Pace, "a", "b", 25}, {trial.Heart, trial.Power, "b", "a", 25},
		{trial.Contact, trial.Power, "b", "a", 1}, {trial.Oscillation, trial.HeartRate, "b", "a", 25},
		{trial.BeatsPerKm, trial.Power, "b", "a", 25},
		{trial.Comfort, trial.Power, "a", "b", m}, {trial.RPE, trial.Power, "a", "b", m},
		{trial.Oxygen, trial.Pace, "a", "b", m},
	} {
		near(t, c.outcome.Info().ID+" at the same "+string(c.effort)+", "+c.shoe+" against "+c.reference,
			table.Errors().Pct(c.outcome, c.effort, c.shoe, c.reference), c.want, 1e-9)
	}
}

// An error that is the same in every shoe is no shoe-dependent error.
func TestACommonErrorDoesNotCount(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		common := rapid.Float64Range(0.9, 1.1).Draw(t, "common")
		own := rapid.Float64Range(-0.05, 0.05).Draw(t, "own")
		table := tabulate(map[string][]Ratio{"s": {
			{Shoe: "a", Check: Ground, Outcomes: speed, Value: common},
			{Shoe: "b", Check: Ground, Outcomes: speed, Value: common * (1 + own)},
		}}, "s")
		if got := table.Errors().Pct(trial.Speed, trial.Power, "b",
			"a"); math.Abs(got-100*(max(1, 1+own)/min(1, 1+own)-1)) > 1e-9 {
			t.Fatalf("%v %%, want %v", got, 100*own)
		}
	})
}

// A step length that was computed from speed is no check of it: it goes where every block
// agrees to rounding, and stays where a single one does not.
func TestComputedStepsAreNoCheck(t *testing.T) {
	steps := func(shoe string, v float64) Ratio {
		return Ratio{Shoe: shoe, Check: Steps, Outcomes: speed | cadence | step, Value: v}
	}
	ground := Ratio{Shoe: "a", Check: Ground, Outcomes: speed, Value: 1.0001}
	for _, c := range []struct {
		name     string
		last     float64
		computed bool
		rows     int // of the dataset
	}{
		{"equal to rounding in every block", 1.00049, true, 1},
		{"0.1 % off in one block", 1.001, false, 3},
	} {
		table := tabulate(
			map[string][]Ratio{"one": {ground, steps("a", 0.9996), steps("b", 1.0002)}, "two": {steps("b", c.last)}},
			"one", "two")
		table.DropComputedSteps()
		if table.StepsComputed != c.computed || len(table.Dataset) != c.rows {
			t.Errorf("%s: computed %v, rows %+v", c.name, table.StepsComputed, table.Dataset)
		}
		for _, row := range table.Sessions {
			if c.computed && row.Check == Steps {
				t.Errorf("%s: session %s still has the check", c.name, row.Session)
			}
		}
	}
	none := tabulate(map[string][]Ratio{"one": {ground}}, "one")
	if none.DropComputedSteps(); none.StepsComputed || len(none.Dataset) != 1 {
		t.Errorf("without a step length: %+v", none)
	}
}
