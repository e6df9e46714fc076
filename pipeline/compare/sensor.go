package compare

import (
	"fmt"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// SensorSentence says how much of the difference could be the sensor; "" when no
// check of the sensor has both shoes.
func (c *Comparison) SensorSentence() string {
	if !units.Known(c.SensorErrorPct) {
		return ""
	}
	return fmt.Sprintf("The sensor's own checks differ between these two shoes by up to %s %%: that much of the "+
		"difference could be the sensor.", units.FormatDecimal(c.SensorErrorPct, 2))
}

// AddSensorErrors fills in for every comparison how much of it could be the sensor, by
// errorPct, and adds the sentence about the two shoes of the verdict to its details.
func (r *Result) AddSensorErrors(errorPct func(o trial.Outcome, effort trial.Effort, shoe, reference string) float64) {
	for i := range r.Comparisons {
		c := &r.Comparisons[i]
		c.SensorErrorPct = errorPct(c.Outcome, c.Effort, c.Shoe, c.Reference)
	}
	if len(r.Rankings) == 0 || len(r.Rankings[0].Places) < 2 {
		return
	}
	top := &r.Rankings[0]
	if c := r.Find(top.Outcome, top.Level, top.Places[0].Shoe, top.Places[1].Shoe); c != nil {
		if sentence := c.SensorSentence(); sentence != "" {
			r.Verdict.Detail = append(r.Verdict.Detail, sentence)
		}
	}
}
