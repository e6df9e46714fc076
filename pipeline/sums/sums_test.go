package sums

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func block() Block {
	b := Block{Block: answer.Block{Session: "2026-03-07", Date: "2026-03-07", Runner: "r", ID: "1", Shoe: "a, b",
		Effort: trial.Power, Target: 268, Midpoint: 120, Order: 1, Speed: answer.Source{Device: "pod", OnShoe: true},
		GroundM: 800, SensorM: units.Missing,
		Windows: []answer.Means{{Speed: 4.05 + 1e-15, HeartRate: units.Missing, Effort: 267.9}}},
		Included: true, Start: 100, End: 140, Published: trial.Trim{HeadS: 10, TailS: 5, HeartRateHeadS: 20}}
	b.Steps[Speed] = []float64{3, 3.5, 4, 4.1, units.Missing, 4.1, 4.1, 9}
	b.Steps[Power] = []float64{250, 260, 268, 268, 268, 268, 268, 100}
	return b
}

// What is written is read back, the numbers of the answer to the last digit.
func TestWrittenIsReadBack(t *testing.T) {
	want := []Block{block(), {Block: answer.Block{Session: "2026-03-14", Shoe: "c", Effort: trial.Pace, Target: 240,
		Midpoint: units.Missing, GroundM: units.Missing, SensorM: units.Missing, Windows: []answer.Means{{Speed: 4.1}}},
		Start: units.Missing, End: units.Missing}}
	got, err := Read(Write(want))
	if diff := cmp.Diff(want, got, cmpopts.EquateNaNs()); err != nil || diff != "" {
		t.Errorf("%v\n%s", err, diff)
	}
}

// The mean over another window, by hand: from 15 s to the end but 5 s are the steps 4.1, 4.1
// and 4.1 with one missing; the published window, from 10 s, has a 4.0 as well, so the mean
// moves from (4.0 + 3 * 4.1) / 4 = 4.075 to 4.1.
func TestMeansOverAnotherWindow(t *testing.T) {
	b := block()
	m := b.Means(trial.Trim{HeadS: 15, TailS: 5, HeartRateHeadS: 20})
	if math.Abs(m.Speed-(4.05+0.025)) > 1e-12 {
		t.Errorf("the speed is %v", m.Speed)
	}
	if m := b.Means(b.Published); m.Speed != b.Windows[0].Speed || m.Effort != b.Windows[0].Effort {
		t.Errorf("the published window gives %v", m)
	}
	// Half a step weighs half: (2.5 * 3.5 + 5 * 4 + 5 * 4.1 + 2 * 5 * 4.1) / 22.5.
	by := (2.5*3.5+5*4+5*4.1+10*4.1)/22.5 - 4.075
	if m := b.Means(trial.Trim{HeadS: 7.5, TailS: 5}); math.Abs(m.Speed-4.05-by) > 1e-12 {
		t.Errorf("half a step gives %v, not %v", m.Speed, 4.05+by)
	}
	if m := b.Means(trial.Trim{HeadS: 40}); units.Known(m.Speed) {
		t.Errorf("no window gives %v", m.Speed)
	}
}

func TestReadNamesTheLine(t *testing.T) {
	text := string(Write([]Block{block(), block()}))
	at := strings.LastIndex(text, "267.9")
	for broken, want := range map[string]string{
		text[:at] + "x" + text[at+5:]:                         `line 3: "x" is no number`,
		strings.Replace(text, "speed_mps", "speed", 1):        "other columns",
		text[:len(text)-2] + "x\n":                            "are no steps",
		strings.Replace(text, "2026-03-07,", "2026-03-07", 1): "line 2",
		"": "other columns",
	} {
		if _, err := Read([]byte(broken)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, not %q", err, want)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add(Write([]Block{block()}))
	f.Fuzz(func(t *testing.T, text []byte) {
		blocks, err := Read(text)
		if err != nil {
			return
		}
		for i := range blocks {
			blocks[i].Means(trial.Trim{HeadS: 7})
		}
	})
}
