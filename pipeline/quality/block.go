package quality

import (
	"fmt"
	"math"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func shoeBlank(c *sessionCheck) {
	for i, b := range c.session.Blocks {
		if b.Shoe == "" && !b.Excluded {
			c.report(i, trial.Finding{Severity: trial.Stop, Value: units.Missing, Limit: units.Missing,
				Message: fmt.Sprintf("block %q has no shoe", b.ID),
				Hint:    "write its id from shoes.csv into the shoe column, or include no with a reason"})
		}
	}
}

func blockShort(c *sessionCheck) {
	for i, b := range c.blocks {
		if seconds := b.End - b.Start; seconds < c.limits.BlockMinS {
			c.report(i, trial.Finding{Severity: trial.Warn, Value: seconds, Limit: c.limits.BlockMinS,
				Message: fmt.Sprintf("block lasts %s s", units.FormatDecimal(seconds, 0)),
				Hint:    "run longer blocks, or delete the row if it is no block"})
		}
	}
}

func windowShort(c *sessionCheck) {
	if len(c.recordings) == 0 {
		return // the means were written by hand; no window was cut
	}
	for i, b := range c.blocks {
		if b.Window() < c.limits.WindowMinS {
			c.report(i, trial.Finding{Severity: trial.Stop, Value: b.Window(), Limit: c.limits.WindowMinS,
				Message: fmt.Sprintf("the trim leaves %s s of the block", units.FormatDecimal(b.Window(), 0)),
				Hint:    "delete the row if it is no block, or shorten method.trim"})
		}
	}
}

func blockOutside(c *sessionCheck) {
	first, last := units.Missing, units.Missing
	for _, r := range c.recordings {
		if n := r.Samples.Len(); n > 0 {
			if from := r.Samples.Elapsed[0] + r.Offset(); !(from >= first) {
				first = from
			}
			if to := r.Samples.Elapsed[n-1] + r.Offset(); !(to <= last) {
				last = to
			}
		}
	}
	for i, b := range c.blocks {
		outside := math.Max(first-b.Start, b.End-last)
		if outside > c.limits.GapS {
			c.report(i, trial.Finding{Severity: trial.Stop, Value: outside, Limit: c.limits.GapS,
				Message: fmt.Sprintf("block reaches %s s past the recording, which runs from %s to %s s", units.FormatDecimal(outside, 0), units.FormatDecimal(first, 0), units.FormatDecimal(last, 0)),
				Hint:    "check start_s, end_s and offset_s"})
		}
	}
}

func blockOverlap(c *sessionCheck) {
	for i := 1; i < len(c.blocks); i++ {
		if overlap := c.blocks[i-1].End - c.blocks[i].Start; overlap > 0 {
			c.report(i, trial.Finding{Severity: trial.Stop, Value: overlap, Limit: 0,
				Message: fmt.Sprintf("starts %s s before block %q has ended", units.FormatDecimal(overlap, 1), c.blocks[i-1].Block),
				Hint:    "correct start_s or end_s"})
		}
	}
}

func coverageLow(c *sessionCheck) {
	for i, b := range c.blocks {
		severity, limit := trial.Warn, c.limits.CoveragePct
		if b.CoveragePct < c.limits.CoverageStopPct {
			severity, limit = trial.Stop, c.limits.CoverageStopPct
		}
		if b.CoveragePct < limit {
			c.report(i, trial.Finding{Severity: severity, Value: b.CoveragePct, Limit: limit,
				Message: fmt.Sprintf("valid samples cover %s %% of the steady window", units.FormatDecimal(b.CoveragePct, 1)),
				Hint:    "look for dropouts of the sensor"})
		}
	}
}

func effortOff(c *sessionCheck) {
	for i, b := range c.blocks {
		off := float64(100 * (b.Held/b.Target - 1))
		c.graded(i, off, c.limits.EffortOffPct, c.limits.EffortOffStopPct,
			fmt.Sprintf("held %s against a target of %s (%s %%)", heldText(c.session.Effort(), b.Held), trial.FormatTarget(c.session.Effort(), b.Target), signed(off)),
			"the comparison adjusts for it; another effort needs its own target")
	}
}

func heldText(effort trial.Effort, held float64) string {
	if effort == trial.Pace {
		return units.FormatPace(held)
	}
	return units.FormatDecimal(held, 1)
}

func stepProduct(c *sessionCheck) {
	for i, b := range c.blocks {
		implied := units.StepProduct(b.Outcomes[trial.Cadence], b.Outcomes[trial.StepLength])
		off := float64(100 * (implied/b.Outcomes[trial.Speed] - 1))
		c.graded(i, off, c.limits.StepProductPct, c.limits.StepProductStopPct,
			fmt.Sprintf("cadence x step length gives %s m/s, speed is %s m/s (%s %%)", units.FormatDecimal(implied, 3), units.FormatDecimal(b.Outcomes[trial.Speed], 3), signed(off)),
			"compare with the measured laps; a sensor error that differs by shoe looks like a shoe effect")
	}
}

// graded reports a percentage whose size is beyond one of two limits.
func (c *sessionCheck) graded(i int, off, warnAt, stopAt float64, message, hint string) {
	size := math.Abs(off)
	switch {
	case size > stopAt:
		c.report(i, trial.Finding{Severity: trial.Stop, Value: off, Limit: stopAt, Message: message, Hint: hint})
	case size > warnAt:
		c.report(i, trial.Finding{Severity: trial.Warn, Value: off, Limit: warnAt, Message: message, Hint: hint})
	}
}

func signed(x float64) string {
	text := units.FormatDecimal(x, 1)
	if x > 0 {
		return "+" + text
	}
	return text
}
