package quality

import (
	"math"
	"strconv"

	"soletrial/pipeline/sensor"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// mistakes are units that recordings come in by mistake: what a mean must be
// multiplied by to be in ours.
var mistakes = []struct {
	channel trial.Channel
	outcome trial.Outcome
	factor  float64
	reading string
}{
	{trial.CadenceSpm, trial.Cadence, 2, "strides, or the steps of one leg"},
	{trial.StepLengthM, trial.StepLength, 0.5, "strides"},
	{trial.StepLengthM, trial.StepLength, 0.01, "centimetres"},
	{trial.SpeedMps, trial.Speed, 1 / 3.6, "km/h"},
	{trial.ContactMs, trial.Contact, 1000, "seconds"},
	{trial.OscillationCm, trial.Oscillation, 0.1, "millimetres"},
	{trial.OscillationCm, trial.Oscillation, 100, "metres"},
	{trial.HeartRateBpm, trial.Heart, 60, "beats per second"},
}

func unitWrong(c *sessionCheck) {
	c.minutes()
	for i := range c.blocks {
		b := &c.blocks[i]
		for _, m := range mistakes {
			mean := b.Outcomes[m.outcome]
			bound := c.beyondUsual(m.channel, mean)
			if !units.Known(bound) || units.Known(c.beyondUsual(m.channel, float64(mean*m.factor))) ||
				c.explained(m.outcome, b) {
				continue
			}
			c.say(i, trial.Stop, mean, bound, "mean "+m.channel.Info().Label+" is "+value(m.channel, mean)+
				": that looks like "+m.reading)
		}
	}
}

// beyondUsual returns the bound of the channel's usual range that x lies outside
// of; missing within it or without a range.
func (c *sessionCheck) beyondUsual(channel trial.Channel, x float64) float64 {
	return beyond(x, c.limits.Ranges[channel.Info().Column].Warn)
}

// explained reports whether an unusual mean is no mistake of the unit: a walker
// takes fewer steps, and long steps are right when cadence and speed say so too.
func (c *sessionCheck) explained(outcome trial.Outcome, b *steady.Summary) bool {
	switch outcome {
	case trial.Cadence:
		usual := c.limits.Ranges[trial.SpeedMps.Info().Column].Warn
		return len(usual) == 2 && b.Outcomes[trial.Speed] < usual[0]
	case trial.StepLength:
		return math.Abs(sensor.StepRatio(b)-1) < 0.1 &&
			!units.Known(c.beyondUsual(trial.CadenceSpm, b.Outcomes[trial.Cadence]))
	}
	return false
}

// minutes reports recordings whose time counts minutes: one sample a second is
// then 1/60 of a unit after the one before.
func (c *sessionCheck) minutes() {
	for i := range c.recordings {
		r := &c.recordings[i]
		n := r.Samples.Len()
		if n < 2 {
			continue
		}
		step := (r.Samples.Elapsed[n-1] - r.Samples.Elapsed[0]) / float64(n-1)
		if math.Abs(float64(60*step)-1) < 0.05 {
			c.say(-1, trial.Stop, step, units.Missing,
				"samples of "+strconv.Quote(r.Fact.File)+" are "+num(step, 4)+" s apart: that looks like minutes")
		}
	}
}
