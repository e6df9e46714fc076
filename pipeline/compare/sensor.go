package compare

import (
	"soletrial/pipeline/trial"
)

// AddSensorErrors fills in for every comparison how much of it could be the sensor, by
// errorPct.
func (r *Result) AddSensorErrors(errorPct func(o trial.Outcome, effort trial.Effort, shoe, reference string) float64) {
	for i := range r.Comparisons {
		c := &r.Comparisons[i]
		c.SensorErrorPct = errorPct(c.Outcome, c.Effort, c.Shoe, c.Reference)
	}
}
