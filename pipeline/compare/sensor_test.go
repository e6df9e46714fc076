package compare

import (
	"strings"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// TestSensorDetail: what the sensor could explain is said of the two shoes at the
// top, and only where it was checked.
func TestSensorDetail(t *testing.T) {
	m := noisy(undrifting("ABC"), 6, 0.001, "ABCCBA", "CBAABC", "BCAACB")
	r := m.run()
	before := len(r.Verdict.Detail)
	for i := range r.Comparisons {
		if r.Comparisons[i].SensorSentence() != "" {
			t.Errorf("a sensor nobody checked: %q", r.Comparisons[i].SensorSentence())
		}
	}
	r.AddSensorErrors(func(trial.Outcome, trial.Effort, string, string) float64 { return units.Missing })
	if len(r.Verdict.Detail) != before {
		t.Errorf("a sensor nobody checked: %q", r.Verdict.Detail[before:])
	}
	byPair := func(_ trial.Outcome, _ trial.Effort, shoe, reference string) float64 {
		return map[string]float64{"BA": 3, "CA": 9, "CB": 0.456}[shoe+reference]
	}
	r.AddSensorErrors(byPair)
	if got := find(t, r, "C", "A").SensorErrorPct; got != 9 {
		t.Errorf("the sensor error of C against A is %v, want 9", got)
	}
	if got := r.Verdict.Detail[before:]; len(got) != 1 || !strings.Contains(got[0], "up to 0.46 %") {
		t.Errorf("%q", got)
	}
	nothing := Result{}
	nothing.AddSensorErrors(byPair)
	if len(nothing.Verdict.Detail) != 0 {
		t.Errorf("%q", nothing.Verdict.Detail)
	}
}
