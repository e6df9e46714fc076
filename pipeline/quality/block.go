package quality

import (
	"math"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func shoeBlank(c *sessionCheck) {
	for i := range c.session.Blocks {
		if b := &c.session.Blocks[i]; b.Shoe == "" && !b.Excluded {
			c.say(i, trial.Stop, units.Missing, units.Missing, "block "+quoted(b.ID)+" has no shoe",
				"write its id from shoes.csv into the shoe column, or include no with a reason")
		}
	}
}

func blockShort(c *sessionCheck) {
	for i := range c.blocks {
		if seconds := c.blocks[i].End - c.blocks[i].Start; seconds < c.limits.BlockMinS {
			c.say(i, trial.Warn, seconds, c.limits.BlockMinS, "block lasts "+num(seconds, 0)+" s",
				"run longer blocks, or delete the row if it is no block")
		}
	}
}

func windowShort(c *sessionCheck) {
	if len(c.recordings) == 0 {
		return // the means were written by hand; no window was cut
	}
	for i := range c.blocks {
		if window := c.blocks[i].Window(); window < c.limits.WindowMinS {
			c.say(i, trial.Stop, window, c.limits.WindowMinS, "the trim leaves "+num(window, 0)+" s of the block",
				"delete the row if it is no block, or shorten method.trim")
		}
	}
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
				"block reaches "+num(outside, 0)+" s past the recording, which runs from "+num(first, 0)+" to "+num(last, 0)+" s", "check start_s, end_s and offset_s")
		}
	}
}

func blockOverlap(c *sessionCheck) {
	for i := 1; i < len(c.blocks); i++ {
		if overlap := c.blocks[i-1].End - c.blocks[i].Start; overlap > 0 {
			c.say(i, trial.Stop, overlap, 0, "starts "+num(overlap, 1)+" s before block "+quoted(c.blocks[i-1].Block)+" has ended", "correct start_s or end_s")
		}
	}
}

func coverageLow(c *sessionCheck) {
	for i := range c.blocks {
		covered, severity, limit := c.blocks[i].CoveragePct, trial.Warn, c.limits.CoveragePct
		if covered < c.limits.CoverageStopPct {
			severity, limit = trial.Stop, c.limits.CoverageStopPct
		}
		if covered < limit {
			c.say(i, severity, covered, limit, "valid samples cover "+num(covered, 1)+" % of the steady window", "look for dropouts of the sensor")
		}
	}
}

func effortOff(c *sessionCheck) {
	for i := range c.blocks {
		b, effort := &c.blocks[i], c.session.Effort()
		off := float64(100 * (b.Held/b.Target - 1))
		if severity, limit := graded(off, c.limits.EffortOffPct, c.limits.EffortOffStopPct); severity != "" {
			c.say(i, severity, off, limit, "held "+heldText(effort, b.Held)+" against a target of "+trial.FormatTarget(effort, b.Target)+" ("+percent(off)+")",
				"the comparison adjusts for it; another effort needs its own target")
		}
	}
}

func stepProduct(c *sessionCheck) {
	for i := range c.blocks {
		o := &c.blocks[i].Outcomes
		implied := units.StepProduct(o[trial.Cadence], o[trial.StepLength])
		off := float64(100 * (implied/o[trial.Speed] - 1))
		if severity, limit := graded(off, c.limits.StepProductPct, c.limits.StepProductStopPct); severity != "" {
			c.say(i, severity, off, limit, "cadence x step length gives "+num(implied, 3)+" m/s, speed is "+num(o[trial.Speed], 3)+" m/s ("+percent(off)+")",
				"compare with the measured laps; a sensor error that differs by shoe looks like a shoe effect")
		}
	}
}

// graded returns how much a percentage weighs that is beyond one of two limits,
// and which; "" within both.
func graded(off, warnAt, stopAt float64) (trial.Severity, float64) {
	switch size := math.Abs(off); {
	case size > stopAt:
		return trial.Stop, stopAt
	case size > warnAt:
		return trial.Warn, warnAt
	}
	return "", units.Missing
}
