package compare

import (
	"strings"
	"testing"
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
	r.AddSensorDetail()
	if len(r.Verdict.Detail) != before {
		t.Errorf("a sensor nobody checked: %q", r.Verdict.Detail[before:])
	}
	r.Find(r.Rankings[0].Outcome, "power 270", "C", "B").SensorErrorPct = 0.456
	r.Find(r.Rankings[0].Outcome, "power 270", "C", "A").SensorErrorPct = 9
	r.AddSensorDetail()
	if got := r.Verdict.Detail[before:]; len(got) != 1 || !strings.Contains(got[0], "up to 0.46 %") {
		t.Errorf("%q", got)
	}
	nothing := Result{}
	nothing.AddSensorDetail()
	if len(nothing.Verdict.Detail) != 0 {
		t.Errorf("%q", nothing.Verdict.Detail)
	}
}
