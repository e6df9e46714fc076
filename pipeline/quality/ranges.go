package quality

import (
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func outOfRange(c *sessionCheck) {
	for i := range c.blocks {
		for _, pair := range trial.ChannelMeans {
			if limits, ok := c.limits.Ranges[pair.Channel.Info().Column]; ok {
				c.rangeOf(i, pair.Channel, c.blocks[i].Outcomes[pair.Outcome], limits)
			}
		}
	}
}

// plain and value write a number of a channel, without and with its unit.
func plain(c trial.Channel, x float64) string { return num(x, c.Info().Decimals) }
func value(c trial.Channel, x float64) string { return plain(c, x) + " " + c.Info().Unit }

func (c *sessionCheck) rangeOf(i int, channel trial.Channel, mean float64, limits trial.Range) {
	severity, bounds, word := trial.Stop, limits.Stop, "possible"
	if !units.Known(beyond(mean, bounds)) {
		severity, bounds, word = trial.Warn, limits.Warn, "usual"
	}
	if bound := beyond(mean, bounds); units.Known(bound) {
		c.say(i, severity, mean, bound, "mean "+channel.Info().Label+" is "+value(channel, mean)+", outside the "+word+
			" range of "+plain(channel, bounds[0])+" to "+value(channel, bounds[1]))
		return
	}
	if len(c.screening.strays[channel]) == 0 {
		return
	}
	if n, worst := outsideBounds(c.sources[channel], channel, c.blocks[i].From, c.blocks[i].To, limits.Stop); n > 0 {
		c.say(i, trial.Warn, worst, beyond(worst, limits.Stop),
			units.Count(n, "sample")+" of "+channel.Info().Label+
				" in the steady window cannot be right; the worst reads "+value(channel, worst))
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

// outsideBounds counts the samples of a channel in [from, to) outside the bounds and
// returns the one that lies furthest out.
func outsideBounds(
	r *trial.Recording, channel trial.Channel, from, to float64, bounds []float64,
) (n int, worst float64) {
	if r == nil || len(bounds) != 2 {
		return 0, units.Missing
	}
	low, high, furthest := bounds[0], bounds[1], 0.0
	first, end := between(r, from, to)
	for _, v := range r.Samples.Values[channel][first:end] {
		if !(v < low || v > high) {
			continue
		}
		n++
		if distance := max(low-v, v-high); distance >= furthest {
			furthest, worst = distance, v
		}
	}
	return n, worst
}
