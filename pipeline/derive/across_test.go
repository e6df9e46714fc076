package derive_test

import (
	"encoding/csv"
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// recorded gives session number i of a lab a foot sensor whose step length reads
// off by the given factor in shoe b. The speed is what blocks.csv had.
func recorded(files fstest.MapFS, i int, blocks []labBlock, off float64) {
	folder := fmt.Sprintf("sessions/s%02d/", i)
	facts := files[folder+"session.yaml"]
	facts.Data = append(facts.Data, "recordings: [{file: foot.csv, device: foot}]\n"...)
	text := "elapsed_s,power_w,speed_mps,cadence_spm,step_length_m\n"
	table := "block,shoe,start_s,end_s,distance_m\n"
	for k, b := range blocks {
		start, step := 400*k, b.speed/3
		if b.shoe == "b" {
			step *= off
		}
		table += fmt.Sprintf("%d,%s,%d,%d,%.1f\n", k+1, b.shoe, start, start+300, b.speed*300)
		for t := start; t < start+300; t += 5 {
			text += fmt.Sprintf("%d.000,%.1f,%.3f,180.00,%.4f\n", t, 250+float64(t/5%3), b.speed, step)
		}
	}
	files[folder+"foot.csv"] = &fstest.MapFile{Data: []byte(text)}
	files[folder+"blocks.csv"] = &fstest.MapFile{Data: []byte(table)}
}

// A step length that reads 1.5 % long in one shoe could make 1.5 % of whatever
// rests on speed or stride, and nothing of what does not.
func TestSensorError(t *testing.T) {
	blocks := worn("ABBA", 3.6, 3.72, 3.72, 3.66)
	files := lab{sessions: []labSession{{blocks: blocks}}}.files()
	recorded(files, 1, blocks, 1.015)
	r := deriveFS(t, files)
	near(t, "speed", speed(t, r, "b", "a").SensorErrorPct, 1.5, 0.01)
	near(t, "cadence", of(t, r, trial.Cadence, "power 250", "b", "a").SensorErrorPct, 1.5, 0.01)
	if c := of(t, r, trial.MeanPower, "power 250", "b", "a"); units.Known(c.SensorErrorPct) {
		t.Errorf("power has an error of %v that no check is about", c.SensorErrorPct)
	}
	rows, err := csv.NewReader(strings.NewReader(table(r, "comparisons.csv"))).ReadAll()
	at := slices.Index(rows[0], "sensor_error")
	if err != nil || at < 0 || !strings.HasPrefix(rows[1][at], "1.5") {
		t.Errorf("comparisons.csv has %q and %q", rows[0], rows[1])
	}
	for _, want := range []string{"dataset,,a,ground,1.000000,0.000000,2\n", "dataset,,a,steps,1.000000,0.000000,2\n",
		"dataset,,b,steps,1.0150", "session,s01,b,steps,1.0150"} {
		if text := table(r, "sensor.csv"); !strings.Contains(text, "\n"+want) {
			t.Errorf("sensor.csv lacks %q:\n%s", want, text)
		}
	}
}

// Blocks that are left out are not among the checks, and without recordings there
// are none.
func TestSensorOfIncludedBlocks(t *testing.T) {
	blocks := worn("ABBA", 3.6, 3.72, 3.72, 3.66)
	files := lab{sessions: []labSession{{blocks: blocks}}}.files()
	recorded(files, 1, blocks, 1)
	path := "sessions/s01/blocks.csv"
	text := strings.Replace(string(files[path].Data), "distance_m\n", "distance_m,include,reason\n", 1)
	text = strings.Replace(text, "2,b,400,700,1116.0\n", "2,b,400,700,1000.0,no,lost count\n", 1)
	files[path].Data = []byte(strings.Replace(
		strings.Replace(strings.Replace(text, "1080.0\n", "1080.0,,\n", 1), "1116.0\n", "1116.0,,\n", 1),
		"1098.0\n", "1098.0,,\n", 1))
	if text := table(deriveFS(t, files), "sensor.csv"); !strings.Contains(text, "\ndataset,,b,ground,1.000000,,1\n") {
		t.Errorf("sensor.csv:\n%s", text)
	}
	r := lab{sessions: []labSession{{blocks: blocks}}}.derive(t)
	if text := table(r, "sensor.csv"); strings.Count(text, "\n") != 1 ||
		units.Known(speed(t, r, "b", "a").SensorErrorPct) {
		t.Errorf("without recordings:\n%s", text)
	}
}

// A recording that stands in two sessions counts once: the later session is kept
// out, as long as nobody says in writing that it may count.
func TestSameRecordingTwice(t *testing.T) {
	blocks := worn("ABBA", 3.6, 3.72, 3.72, 3.66)
	files := lab{sessions: []labSession{{blocks: blocks}, {blocks: blocks}}}.files()
	recorded(files, 1, blocks, 1)
	recorded(files, 2, blocks, 1)
	r := deriveFS(t, files)
	for i, want := range []bool{true, false} {
		for _, b := range r.Sessions[i].Blocks {
			if b.Included != want || !want && b.Reason != "excluded by recording-twice" {
				t.Errorf("block %s of session %d: included %v, %q", b.Block, i+1, b.Included, b.Reason)
			}
		}
	}
	if c := speed(t, r, "b", "a"); c.Sessions != 1 || c.Model != compare.OneSession {
		t.Errorf("%d sessions compared by %s, want one", c.Sessions, c.Model)
	}
	if last := r.Findings[len(r.Findings)-1]; r.Sessions[1].ID != "s02" ||
		!strings.Contains(table(r, "findings.csv"), "\ns02,,recording-twice,stop,,,") {
		t.Errorf("findings end with %+v", last)
	}
	facts := files["sessions/s02/session.yaml"]
	facts.Data = append(facts.Data, "overrides: [{rule: recording-twice, reason: two runners, one watch}]\n"...)
	facts.Data = []byte(strings.Replace(string(facts.Data), "two runners, one watch", "a test of both", 1))
	r = deriveFS(t, files)
	if c := speed(t, r, "b", "a"); c.Sessions != 2 {
		t.Errorf("%d sessions compared after the override, want two", c.Sessions)
	}
}

// Assembling does not change what it is given: a caller assembles the same
// sessions again.
func TestAssembleLeavesItsInputAlone(t *testing.T) {
	blocks := worn("ABBA", 3.6, 3.72, 3.72, 3.66)
	files := lab{sessions: []labSession{{blocks: blocks}, {blocks: blocks}}}.files()
	recorded(files, 1, blocks, 1)
	recorded(files, 2, blocks, 1)
	first := deriveFS(t, files)
	sessions := []derive.SessionResult{first.Sessions[0], first.Sessions[1]}
	sessions[1].Blocks = append([]derive.Block(nil), sessions[1].Blocks...)
	for i := range sessions[1].Blocks {
		sessions[1].Blocks[i].Included = true
	}
	ds := *first.Dataset
	for i := range ds.Sessions {
		ds.Sessions[i].Facts.Recordings[0].SourceSha256 = strings.Repeat("ab", 32)
	}
	again := derive.FromSessions(&ds, sessions, nil, 1)
	if again.Sessions[1].Blocks[0].Included || !sessions[1].Blocks[0].Included {
		t.Errorf("included: %v in the result, %v in what was given", again.Sessions[1].Blocks[0].Included,
			sessions[1].Blocks[0].Included)
	}
}
