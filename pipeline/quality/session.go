package quality

import (
	"math"
	"strconv"
	"strings"

	"soletrial/pipeline/conditions"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func warmUpShort(c *sessionCheck) {
	blocks := c.notExcluded()
	if len(blocks) == 0 {
		return
	}
	seconds, said, after := c.session.Facts.Protocol.WarmUpS, "protocol.warm_up_s says ", ""
	if !units.Known(seconds) {
		said, after = "none is noted, and the recording starts ", " before the first block"
		for i := range c.recordings {
			if r := &c.recordings[i]; r.Samples.Len() > 0 {
				if before := blocks[0].Start - r.Samples.Elapsed[0] - r.Offset(); !(before <= seconds) {
					seconds = before
				}
			}
		}
	}
	if seconds < c.limits.WarmUpS {
		c.say(-1, trial.Note, seconds, c.limits.WarmUpS,
			"the warm-up was short: "+said+num(math.Max(0, seconds), 0)+" s"+after)
	}
}

func heatCaution(c *sessionCheck) {
	facts := &c.session.Facts.Conditions
	severity, limit := trial.Note, c.limits.HeatWbgtC
	if facts.WbgtC >= c.limits.HeatWbgtWarnC {
		severity, limit = trial.Warn, c.limits.HeatWbgtWarnC
	}
	switch band, known := conditions.BandOf(facts.WbgtC); {
	case known && facts.WbgtC >= limit:
		c.say(-1, severity, facts.WbgtC, limit,
			"wet-bulb globe temperature of "+num(facts.WbgtC, 1)+" °C: "+band.Meaning)
	case !known && facts.AirC >= c.limits.HeatAirC:
		c.say(-1, trial.Note, facts.AirC, c.limits.HeatAirC,
			"air temperature was "+num(facts.AirC, 1)+" °C, and no wet-bulb globe temperature was measured")
	}
}

// airChanging compares the mean air temperature of the included blocks, from the first
// recording that has one.
func airChanging(c *sessionCheck) {
	r := c.sources[trial.AirC]
	if r == nil {
		return
	}
	blocks := c.included()
	means := make([]float64, len(blocks))
	for i := range blocks {
		first, end := between(r, blocks[i].Start, blocks[i].End)
		means[i] = meanOf(r.Samples.Values[trial.AirC][first:end])
	}
	mean := func(i int) float64 { return means[i] }
	low, high := extremes(len(blocks), mean)
	if low < 0 {
		return
	}
	if apart := mean(high) - mean(low); apart > c.limits.AirWithinC {
		c.say(-1, trial.Note, apart, c.limits.AirWithinC,
			"recorded air temperature was "+num(mean(low), 1)+" °C in block "+strconv.Quote(blocks[low].Block)+" and "+
				num(mean(high), 1)+" °C in block "+strconv.Quote(blocks[high].Block))
	}
}

// meanOf returns the mean of the known values, missing without any.
func meanOf(values []float64) float64 {
	sum, n := 0.0, 0
	for _, v := range values {
		if units.Known(v) {
			sum += v
			n++
		}
	}
	return sum / float64(n)
}

func windStrong(c *sessionCheck) {
	wind := c.session.Facts.Conditions.WindMps
	if !(wind >= c.limits.WindMps) {
		return
	}
	message := "wind of " + num(wind, 1) + " m/s"
	speeds := shares(c.included(), func(_ int, b *steady.Summary) float64 { return b.Outcomes[trial.Speed] })
	if len(speeds) > 0 && wind <= speeds[0].mean() {
		low, high := conditions.LapSquare(speeds[0].mean(), wind)
		still := float64(speeds[0].mean() * speeds[0].mean())
		message += ": over laps of a track, air resistance is " + num(float64(100*(low/still-1)), 0) + " to " +
			num(float64(100*(high/still-1)), 0) + " % higher than in still air"
	}
	c.say(-1, trial.Warn, wind, c.limits.WindMps, message)
}

func planDeparted(c *sessionCheck) {
	for _, d := range Deviations(c.dataset, c.session) {
		severity := trial.Note
		if d.Order {
			severity = trial.Warn
		}
		c.say(d.Place, severity, d.Value, d.Limit, d.Message)
	}
}

func deviationListed(c *sessionCheck) {
	if list := c.session.Facts.Deviations; len(list) > 0 {
		c.say(-1, trial.Note, float64(len(list)), 0,
			units.Count(len(list), "deviation")+" from the plan: "+strings.Join(list, " "))
	}
}
