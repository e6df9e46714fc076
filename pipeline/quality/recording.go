package quality

import (
	"slices"
	"strconv"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// between returns the samples of a recording in [from, to) of session time as a
// range of indices.
func between(r *trial.Recording, from, to float64) (first, end int) {
	first, _ = slices.BinarySearch(r.Samples.Elapsed, from-r.Offset())
	end, _ = slices.BinarySearch(r.Samples.Elapsed, to-r.Offset())
	return first, max(first, end)
}

func timeBackwards(c *sessionCheck) {
	for i := range c.recordings {
		if n, first := c.steps(i, c.screening.back[i]); n > 0 {
			c.say(-1, trial.Stop, float64(n), 0,
				"time goes back "+units.Count(n, "time")+" in "+strconv.Quote(c.recordings[i].Fact.File)+
					", first at sample "+first)
		}
	}
}

func timeRepeated(c *sessionCheck) {
	for i := range c.recordings {
		if n, first := c.steps(i, c.screening.repeated[i]); n > 0 {
			c.say(-1, trial.Warn, float64(n), 0,
				units.Count(n, "sample")+" in "+strconv.Quote(c.recordings[i].Fact.File)+
					" at the same time as the sample before; the first is sample "+first)
		}
	}
}

// steps counts the samples of a recording whose time after the one before is
// wrong, and says where the first is.
func (c *sessionCheck) steps(recording int, wrong places) (n int, first string) {
	if len(wrong) > 0 {
		first = num(float64(wrong[0]+1), 0) + " (" + num(c.recordings[recording].Samples.Elapsed[wrong[0]], 1) + " s)"
	}
	return len(wrong), first
}

// recordingGap reports, per block, the longest gap of the recordings that the
// comparison uses.
func recordingGap(c *sessionCheck) {
	for i := range c.blocks {
		longest, file := 0.0, ""
		for j := range c.recordings {
			r := &c.recordings[j]
			if !c.used(r) {
				continue
			}
			if first, end := between(r, c.blocks[i].From, c.blocks[i].To); first == end {
				c.uncovered(r, i)
			} else if len(c.screening.gaps[j]) == 0 {
				continue
			} else if gap := longestGap(r, c.blocks[i].Start, c.blocks[i].End); gap > longest {
				longest, file = gap, r.Fact.File
			}
		}
		if longest > c.limits.GapS {
			c.say(i, trial.Warn, longest, c.limits.GapS, "no sample for "+num(longest, 1)+" s in "+strconv.Quote(file))
		}
	}
}

// uncovered names what is taken from a recording that has no sample in the window of block
// i, and that no other recording has there either. Where one has, nothing is missing.
func (c *sessionCheck) uncovered(r *trial.Recording, i int) {
	b := &c.blocks[i]
	if !(b.To > b.From) || b.Unrecorded != "" {
		return // it has no window, or coverage-low excludes it
	}
	for _, source := range []struct {
		channel trial.Channel
		outcome trial.Outcome
	}{{trial.PowerW, trial.MeanPower}, {trial.SpeedMps, trial.Speed}, {trial.HeartRateBpm, trial.Heart}} {
		if r != c.sources[source.channel] || units.Known(b.Outcomes[source.outcome]) {
			continue
		}
		c.say(i, trial.Warn, b.End-b.Start, c.limits.GapS, source.channel.Info().Label+noRecording)
	}
}

// used reports whether a recording gives what was held or what is compared.
func (c *sessionCheck) used(r *trial.Recording) bool {
	return r == c.sources[trial.PowerW] || r == c.sources[trial.SpeedMps] || r == c.sources[trial.HeartRateBpm]
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
		return [2]trial.Outcome{trial.MeanPower, trial.Speed}
	case trial.Pace:
		return [2]trial.Outcome{trial.Speed, trial.Heart}
	}
	return [2]trial.Outcome{trial.Heart, trial.Speed}
}

func channelMissing(c *sessionCheck) {
	blocks := c.notExcluded()
	if len(blocks) == 0 {
		return
	}
	for _, outcome := range needs(c.session.Effort()) {
		found := false
		for _, b := range blocks {
			found = found || units.Known(b.Outcomes[outcome])
		}
		if !found {
			c.say(-1, trial.Warn, units.Missing, units.Missing,
				"no block has "+outcome.Info().Label+" ("+outcome.Info().Column+")")
		}
	}
}
