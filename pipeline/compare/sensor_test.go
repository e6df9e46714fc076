package compare

import (
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// TestSensorErrors: what the sensor could explain stands with its own pair.
func TestSensorErrors(t *testing.T) {
	r := noisy(undrifting("ABC"), 6, 0.001, "ABCCBA", "CBAABC", "BCAACB").run()
	r.AddSensorErrors(func(_ trial.Outcome, _ trial.Effort, shoe, reference string) float64 {
		if pct, checked := map[string]float64{"BA": 3, "CA": 9}[shoe+reference]; checked {
			return pct
		}
		return units.Missing
	})
	for pair, want := range map[string]float64{"BA": 3, "CA": 9, "CB": units.Missing} {
		near(t, "sensor error of "+pair, find(t, r, pair[:1], pair[1:]).SensorErrorPct, want, 0)
	}
}
