package quality

import (
	"fmt"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func timeBackwards(c *sessionCheck) {
	for _, r := range c.recordings {
		back, first := 0, 0
		for i := 1; i < r.Samples.Len(); i++ {
			if r.Samples.Elapsed[i] < r.Samples.Elapsed[i-1] {
				if back == 0 {
					first = i
				}
				back++
			}
		}
		if back > 0 {
			c.report(-1, trial.Finding{Severity: trial.Stop, Value: float64(back), Limit: 0,
				Message: fmt.Sprintf("time goes back %s in %q, first at sample %d (%s s)", counted(back, "time"), r.Fact.File, first+1, units.FormatDecimal(r.Samples.Elapsed[first], 1)),
				Hint:    "import it again from the original file"})
		}
	}
}

// recordingGap reports, per block, the longest gap of the recordings that the
// comparison uses.
func recordingGap(c *sessionCheck) {
	for i, b := range c.blocks {
		longest, file := 0.0, ""
		for _, r := range c.usedRecordings() {
			if gap := longestGap(r, b.Start, b.End); gap > longest {
				longest, file = gap, r.Fact.File
			}
		}
		if longest > c.limits.GapS {
			c.report(i, trial.Finding{Severity: trial.Warn, Value: longest, Limit: c.limits.GapS,
				Message: fmt.Sprintf("no sample for %s s in %q", units.FormatDecimal(longest, 1), file),
				Hint:    "gaps are not filled in; look at the trace"})
		}
	}
}

// usedRecordings lists, once each and in their own order, the recordings that
// give what was held or what is compared.
func (c *sessionCheck) usedRecordings() []*trial.Recording {
	var used []*trial.Recording
	for i := range c.recordings {
		r := &c.recordings[i]
		if r == c.sources[trial.PowerW] || r == c.sources[trial.SpeedMps] || r == c.sources[trial.HeartRateBpm] {
			used = append(used, r)
		}
	}
	return used
}

func longestGap(r *trial.Recording, start, end float64) float64 {
	longest, elapsed := 0.0, r.Samples.Elapsed
	first, last := between(r, start, end)
	for i := max(first, 1); i < min(last+1, len(elapsed)); i++ {
		from, to := elapsed[i-1]+r.Offset(), elapsed[i]+r.Offset()
		if to > start && from < end && to-from > longest {
			longest = to - from
		}
	}
	return longest
}

// needs lists the outcomes without which an effort cannot be compared fairly:
// what was held and what is compared.
func needs(effort trial.Effort) [2]trial.Outcome {
	switch effort {
	case trial.Power:
		return [2]trial.Outcome{trial.PowerHeld, trial.Speed}
	case trial.Pace:
		return [2]trial.Outcome{trial.Speed, trial.Heart}
	}
	return [2]trial.Outcome{trial.Heart, trial.Speed}
}

func channelMissing(c *sessionCheck) {
	if len(c.blocks) == 0 {
		return
	}
	for _, outcome := range needs(c.session.Effort()) {
		found := false
		for _, b := range c.blocks {
			found = found || units.Known(b.Outcomes[outcome])
		}
		if !found {
			c.report(-1, trial.Finding{Severity: trial.Warn, Value: units.Missing, Limit: units.Missing,
				Message: fmt.Sprintf("no block has a %s", outcome.Info().Label),
				Hint:    fmt.Sprintf("import a recording with it, or write %s into blocks.csv", measureColumn(outcome))})
		}
	}
}

func measureColumn(outcome trial.Outcome) string { return outcome.Info().Column }
