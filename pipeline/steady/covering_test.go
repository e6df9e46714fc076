package steady_test

import (
	"testing"

	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// The sensor was swapped between two blocks: each block is summarised from the recording
// that covers it, whatever the order of the devices.
func TestEachBlockFromTheRecordingThatCoversIt(t *testing.T) {
	record := func(device string, from, to, watts float64) trial.Recording {
		s := &trial.Samples{}
		for at := from; at <= to; at++ {
			s.Elapsed = append(s.Elapsed, at)
			s.Values[trial.PowerW] = append(s.Values[trial.PowerW], watts)
			s.Values[trial.SpeedMps] = append(s.Values[trial.SpeedMps], 4)
		}
		return trial.Recording{Fact: trial.RecordingFact{File: device + ".csv", Device: device}, Samples: s}
	}
	block := func(id string, from, to float64) trial.Block {
		return trial.Block{
			ID: id, Shoe: "a", Start: from, End: to, Target: 250, DistanceM: units.Missing, Laps: units.Missing,
		}
	}
	ds := &trial.Dataset{Facts: trial.DatasetFacts{Method: trial.DefaultMethod(), Limits: trial.DefaultLimits()}}
	session := &trial.Session{ID: "s", Facts: trial.SessionFacts{Effort: "power"},
		Blocks: []trial.Block{block("1", 0, 300), block("2", 400, 700), block("3", 800, 1100)}}
	recordings := []trial.Recording{record("pod", 0, 310, 250), record("other", 390, 710, 260)}
	for _, first := range []string{"", "pod", "other"} {
		if first != "" {
			ds.Facts.Method.Channels = map[string]string{"power_w": first}
		}
		got := steady.Session(ds, session, recordings)
		if got[0].Outcomes[trial.MeanPower] != 250 || got[1].Outcomes[trial.MeanPower] != 260 ||
			got[0].Unrecorded != "" {
			t.Errorf("%q first: %v W and %v W",
				first, got[0].Outcomes[trial.MeanPower], got[1].Outcomes[trial.MeanPower])
		}
		if got[2].CoveragePct != 0 || got[2].Unrecorded != "power" {
			t.Errorf("%q first: block 3 is covered by %v %%, unrecorded %q",
				first, got[2].CoveragePct, got[2].Unrecorded)
		}
	}
}
