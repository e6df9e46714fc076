package quality

import (
	"math"
	"strconv"

	"soletrial/pipeline/sensor"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// inf is the limit of what has none.
const inf = math.MaxFloat64

func shoeBlank(c *sessionCheck) {
	for i := range c.session.Blocks {
		if b := &c.session.Blocks[i]; b.Shoe == "" {
			c.say(i, trial.Stop, units.Missing, units.Missing, "block "+strconv.Quote(b.ID)+" has no shoe")
		}
	}
}

func blockShort(c *sessionCheck) {
	c.each(trial.Warn, func(b *steady.Summary) float64 { return b.End - b.Start }, c.limits.BlockMinS, inf,
		func(v float64) string { return "block lasts " + num(v, 0) + " s" })
}

func windowShort(c *sessionCheck) {
	if len(c.recordings) == 0 {
		return // the means were written by hand; no window was cut
	}
	c.each(trial.Stop, (*steady.Summary).Window, c.limits.WindowMinS, inf,
		func(v float64) string { return "the trim leaves " + num(v, 0) + " s of the block" })
}

func blockOutside(c *sessionCheck) {
	first, last := units.Missing, units.Missing
	for i := range c.recordings {
		r := &c.recordings[i]
		if n := r.Samples.Len(); n > 0 {
			if from := r.Samples.Elapsed[0] + r.Offset(); !(from >= first) {
				first = from
			}
			if to := r.Samples.Elapsed[n-1] + r.Offset(); !(to <= last) {
				last = to
			}
		}
	}
	for i := range c.blocks {
		outside := math.Max(first-c.blocks[i].Start, c.blocks[i].End-last)
		if outside > c.limits.GapS {
			c.say(i, trial.Stop, outside, c.limits.GapS,
				"block extends "+num(outside, 0)+" s beyond the recording, which runs from "+num(first, 0)+" to "+
					num(last, 0)+" s")
		}
	}
}

func blockOverlap(c *sessionCheck) {
	previous := -1 // the last block before that nobody excluded: only such seconds count
	for i := range c.blocks {
		if c.session.Blocks[i].Excluded {
			continue
		}
		if previous >= 0 {
			if overlap := c.blocks[previous].End - c.blocks[i].Start; overlap > 0 {
				c.say(i, trial.Stop, overlap, 0, "starts "+num(overlap, 1)+" s before block "+
					strconv.Quote(c.blocks[previous].Block)+" ends")
			}
		}
		previous = i
	}
}

func coverageLow(c *sessionCheck) {
	for i := range c.blocks {
		covered, severity, limit := c.blocks[i].CoveragePct, trial.Warn, c.limits.CoveragePct
		if covered < c.limits.CoverageStopPct {
			severity, limit = trial.Stop, c.limits.CoverageStopPct
		}
		if covered < limit {
			text := "valid samples cover " + num(covered, 1) + " % of the steady window"
			if channel := c.blocks[i].Unrecorded; channel != "" {
				text = channel + noRecording
			}
			c.say(i, severity, covered, limit, text)
		}
	}
}

func effortOff(c *sessionCheck) {
	effort := c.session.Effort()
	c.off(func(b *steady.Summary) float64 { return b.MeanEffort / b.Target }, c.limits.EffortOffPct,
		c.limits.EffortOffStopPct,
		func(b *steady.Summary) string {
			return "held " + effortText(effort, b.MeanEffort) + effortUnit(effort) + " against a target of " +
				trial.FormatTarget(effort, b.Target) + effortUnit(effort)
		})
}

func stepProduct(c *sessionCheck) {
	c.off(sensor.StepRatio, c.limits.StepProductPct, c.limits.StepProductStopPct, func(b *steady.Summary) string {
		o := &b.Outcomes
		return "cadence x step length gives " + num(units.StepProduct(o[trial.Cadence], o[trial.StepLength]), 3) +
			" m/s, speed is " + num(o[trial.Speed], 3) + " m/s"
	})
}

func groundDistance(c *sessionCheck) {
	c.off(sensor.GroundRatio, c.limits.GroundDistancePct, c.limits.GroundDistanceStopPct,
		func(b *steady.Summary) string {
			return "the sensor gives " + num(b.SensorDistanceM, 0) + " m, the distance on the ground is " +
				num(b.GroundDistanceM, 0) + " m"
		})
}

func speedDistance(c *sessionCheck) {
	if c.sources[trial.SpeedMps] == nil {
		return // then the speed is made from the distance
	}
	c.off(func(b *steady.Summary) float64 { return b.DistanceSpeed / b.Outcomes[trial.Speed] },
		c.limits.SpeedDistancePct, inf, func(b *steady.Summary) string {
			return "the recorded distance gives " + num(b.DistanceSpeed, 3) + " m/s, the recorded speed is " +
				num(b.Outcomes[trial.Speed], 3) + " m/s"
		})
}

func effortUnsteady(c *sessionCheck) {
	effort := c.session.Effort().Name()
	c.each(trial.Warn, func(b *steady.Summary) float64 { return b.EffortCVPct }, -inf, c.limits.EffortVariationPct,
		func(v float64) string {
			return effort + " varies by " + num(v, 1) + " % within the steady window"
		})
}

func effortDrifting(c *sessionCheck) {
	limit, effort := c.limits.EffortChangePct, c.session.Effort().Name()
	c.each(trial.Warn, func(b *steady.Summary) float64 { return b.EffortChangePct }, -limit, limit,
		func(v float64) string {
			return effort + " changes by " + units.FormatSigned(v, 1) + " % over the steady window"
		})
}

func heartUnsettled(c *sessionCheck) {
	limit := c.limits.HeartSlopeBpmMin
	c.each(trial.Warn, func(b *steady.Summary) float64 { return b.HeartSlope }, -limit, limit,
		func(v float64) string {
			return "heart rate still changes by " + units.FormatSigned(v, 1) + " bpm per minute at the end of the block"
		})
}
