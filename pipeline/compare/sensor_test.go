package compare

import (
	"testing"

	"soletrial/pipeline/trial"
)

// TestSensorErrors: every comparison is told how much of it could be the sensor.
func TestSensorErrors(t *testing.T) {
	r := noisy(undrifting("ABC"), 6, 0.001, "ABCCBA", "CBAABC", "BCAACB").run()
	r.AddSensorErrors(func(_ trial.Outcome, _ trial.Effort, shoe, reference string) float64 {
		return map[string]float64{"BA": 3, "CA": 9, "CB": 0.456}[shoe+reference]
	})
	for pair, want := range map[[2]string]float64{{"B", "A"}: 3, {"C", "A"}: 9, {"C", "B"}: 0.456} {
		if got := find(t, r, pair[0], pair[1]).SensorErrorPct; got != want {
			t.Errorf("the sensor error of %v is %v, want %v", pair, got, want)
		}
	}
}
