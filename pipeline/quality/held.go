package quality

import (
	"math"

	"soletrial/pipeline/sensor"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func groundDistance(c *sessionCheck) {
	for i := range c.blocks {
		b := &c.blocks[i]
		off := float64(100 * (sensor.GroundRatio(b) - 1))
		if severity, limit := graded(off, c.limits.GroundDistancePct, c.limits.GroundDistanceStopPct); severity != "" {
			c.say(i, severity, off, limit, "the sensor gives "+num(b.SensorDistanceM, 0)+" m, the ground "+num(b.GroundDistanceM, 0)+" m ("+percent(off)+")",
				"check the distance, the lane and the block's start and end; otherwise calibrate the sensor")
		}
	}
}

func effortUnsteady(c *sessionCheck) {
	for i := range c.blocks {
		if cv := c.blocks[i].HeldCVPct; cv > c.limits.EffortVariationPct {
			c.say(i, trial.Warn, cv, c.limits.EffortVariationPct, "the held effort varies by "+num(cv, 1)+" % within the steady window", "look at the trace for surges, stops and dropouts")
		}
	}
}

func effortDrifting(c *sessionCheck) {
	for i := range c.blocks {
		if change := c.blocks[i].HeldChangePct; math.Abs(change) > c.limits.EffortChangePct {
			c.say(i, trial.Warn, change, c.limits.EffortChangePct, "the held effort changes by "+percent(change)+" over the steady window",
				"the mean hides it; hold the effort evenly, or trim the part that was not held")
		}
	}
}

func heartUnsettled(c *sessionCheck) {
	for i := range c.blocks {
		if slope := c.blocks[i].HeartSlope; math.Abs(slope) > c.limits.HeartSlopeBpmMin {
			c.say(i, trial.Warn, slope, c.limits.HeartSlopeBpmMin, "heart rate still changes by "+signed(slope)+" bpm per minute at the end of the block",
				"its mean depends on how the block began; run longer blocks with equal rests")
		}
	}
}

// trusted returns the kept blocks that no stop holds: rules about blocks come
// before rules about shoes.
func (c *sessionCheck) trusted() []*steady.Summary {
	held := map[string]bool{}
	for i := range c.found {
		if f := &c.found[i]; f.Holds() {
			held[f.Block] = true
		}
	}
	var trusted []*steady.Summary
	for _, b := range c.kept() {
		if !held[b.Block] {
			trusted = append(trusted, b)
		}
	}
	return trusted
}

// furthestApart returns the shoes with the lowest and the highest mean of a
// positive value and how far apart these are, percent; missing for fewer than two
// shoes.
func furthestApart(blocks []*steady.Summary, value func(*steady.Summary) float64) (low, high share, pct float64) {
	list := shares(blocks, func(_ int, b *steady.Summary) float64 { return value(b) })
	if len(list) < 2 {
		return low, high, units.Missing
	}
	low, high = list[0], list[0]
	for _, s := range list[1:] {
		if s.mean() < low.mean() {
			low = s
		}
		if s.mean() > high.mean() {
			high = s
		}
	}
	return low, high, float64(100 * (high.mean()/low.mean() - 1))
}

func effortUneven(c *sessionCheck) {
	left := c.trusted()
	for len(left) > 0 { // one target after the other
		var here, others []*steady.Summary
		for _, b := range left {
			if b.Target == left[0].Target {
				here = append(here, b)
			} else if units.Known(b.Target) {
				others = append(others, b)
			}
		}
		left = others
		if low, high, pct := furthestApart(here, func(b *steady.Summary) float64 { return b.Held }); pct > c.limits.EffortBetweenPct {
			effort := c.session.Effort()
			c.say(-1, trial.Warn, pct, c.limits.EffortBetweenPct, "at "+trial.Level(effort, here[0].Target)+" the mean held effort is "+heldText(effort, low.mean())+" in "+low.shoe+" and "+
				heldText(effort, high.mean())+" in "+high.shoe+" ("+num(pct, 1)+" % apart)", "the comparison adjusts for it; the closer the efforts, the less rests on the adjustment")
		}
	}
}

func groundByShoe(c *sessionCheck) {
	c.sensorByShoe(sensor.GroundRatio, "sensor distance over ground distance")
}

func stepByShoe(c *sessionCheck) {
	c.sensorByShoe(sensor.StepRatio, "cadence x step length over speed")
}

func (c *sessionCheck) sensorByShoe(ratio func(*steady.Summary) float64, what string) {
	if low, high, pct := furthestApart(c.trusted(), ratio); pct > c.limits.SensorBetweenPct {
		c.say(-1, trial.Warn, pct, c.limits.SensorBetweenPct, what+" is "+num(low.mean(), 4)+" in "+low.shoe+" and "+num(high.mean(), 4)+" in "+high.shoe+" ("+num(pct, 1)+" % apart)",
			"up to that much of a difference between these shoes could be the sensor")
	}
}
