package quality

import (
	"fmt"

	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// rangedChannels ties the channels with a range to the outcome that is their
// block mean.
var rangedChannels = []struct {
	channel trial.Channel
	outcome trial.Outcome
}{
	{trial.PowerW, trial.PowerHeld}, {trial.SpeedMps, trial.Speed}, {trial.CadenceSpm, trial.Cadence}, {trial.StepLengthM, trial.StepLength},
	{trial.ContactMs, trial.Contact}, {trial.OscillationCm, trial.Oscillation}, {trial.HeartRateBpm, trial.Heart},
}

func outOfRange(c *sessionCheck) {
	for i, b := range c.blocks {
		for _, pair := range rangedChannels {
			limits, ok := c.limits.Ranges[pair.channel.Info().Column]
			if ok {
				c.rangeOf(i, b, pair.channel, b.Outcomes[pair.outcome], limits)
			}
		}
	}
}

func (c *sessionCheck) rangeOf(i int, b steady.Summary, channel trial.Channel, mean float64, limits trial.Range) {
	info := channel.Info()
	text := fmt.Sprintf("mean %s is %s %s", info.Label, units.FormatDecimal(mean, info.Decimals), info.Unit)
	if bound := beyond(mean, limits.Stop); units.Known(bound) {
		c.report(i, trial.Finding{Severity: trial.Stop, Value: mean, Limit: bound,
			Message: text + fmt.Sprintf(", beyond what is possible (%s)", units.FormatDecimal(bound, info.Decimals)), Hint: "check the unit at import: steps or strides, mm or cm, km/h or m/s"})
		return
	}
	if bound := beyond(mean, limits.Warn); units.Known(bound) {
		c.report(i, trial.Finding{Severity: trial.Warn, Value: mean, Limit: bound,
			Message: text + fmt.Sprintf(", beyond what is usual (%s)", units.FormatDecimal(bound, info.Decimals)), Hint: "check the unit and the sensor"})
		return
	}
	if n, worst := strays(c.sources[channel], channel, b.From, b.To, limits.Stop); n > 0 {
		c.report(i, trial.Finding{Severity: trial.Warn, Value: worst, Limit: beyond(worst, limits.Stop),
			Message: fmt.Sprintf("%s of %s in the steady window cannot be right, the worst reads %s %s", counted(n, "sample"), info.Label, units.FormatDecimal(worst, info.Decimals), info.Unit),
			Hint:    "they are part of the mean; look at the trace"})
	}
}

// beyond returns the bound that x lies outside of, missing when it lies within
// or is missing itself.
func beyond(x float64, bounds []float64) float64 {
	switch {
	case len(bounds) != 2:
		return units.Missing
	case x < bounds[0]:
		return bounds[0]
	case x > bounds[1]:
		return bounds[1]
	}
	return units.Missing
}

// strays counts the samples of a channel in [from, to) outside the bounds and
// returns the one that lies furthest out.
func strays(r *trial.Recording, channel trial.Channel, from, to float64, bounds []float64) (n int, worst float64) {
	if r == nil {
		return 0, units.Missing
	}
	furthest := 0.0
	first, end := between(r, from, to)
	for _, v := range r.Samples.Values[channel][first:end] {
		bound := beyond(v, bounds)
		if !units.Known(bound) {
			continue
		}
		n++
		if distance := max(v-bound, bound-v); distance >= furthest {
			furthest, worst = distance, v
		}
	}
	return n, worst
}
