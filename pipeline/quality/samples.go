package quality

import (
	"fmt"
	"math"
	"slices"

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

func timeRepeated(c *sessionCheck) {
	for _, r := range c.recordings {
		repeated, first := 0, 0
		for i := 1; i < r.Samples.Len(); i++ {
			if r.Samples.Elapsed[i] == r.Samples.Elapsed[i-1] {
				if repeated == 0 {
					first = i
				}
				repeated++
			}
		}
		if repeated > 0 {
			c.report(-1, trial.Finding{Severity: trial.Warn, Value: float64(repeated), Limit: 0,
				Message: fmt.Sprintf("%s in %q at the same time as the one before, first sample %d (%s s)", counted(repeated, "sample"), r.Fact.File, first+1, units.FormatDecimal(r.Samples.Elapsed[first], 1)),
				Hint:    "of two at one time only the later counts; import it again from the original file"})
		}
	}
}

// frozen is the longest time over which a channel read the same number.
type frozen struct {
	channel             trial.Channel
	value, seconds, may float64
}

func valueFrozen(c *sessionCheck) {
	for i, b := range c.blocks {
		worst := frozen{may: 1}
		for _, pair := range rangedChannels {
			if r := c.sources[pair.channel]; r != nil {
				f := c.longestFrozen(r, pair.channel, b.From, b.To)
				if f.seconds > f.may && f.seconds/f.may > worst.seconds/worst.may {
					worst = f
				}
			}
		}
		if worst.seconds > 0 {
			info := worst.channel.Info()
			c.report(i, trial.Finding{Severity: trial.Warn, Value: worst.seconds, Limit: worst.may,
				Message: fmt.Sprintf("%s reads %s %s for %s s on end", info.Label, units.FormatDecimal(worst.value, info.Decimals), info.Unit, units.FormatDecimal(worst.seconds, 0)),
				Hint:    "a sensor that lost contact may repeat its last value; look at the trace"})
		}
	}
}

func (c *sessionCheck) longestFrozen(r *trial.Recording, channel trial.Channel, from, to float64) frozen {
	f := frozen{channel: channel, may: c.limits.FrozenS}
	if channel == trial.HeartRateBpm || channel == trial.CadenceSpm || channel == trial.StepLengthM {
		f.may = c.limits.FrozenCoarseS
	}
	elapsed, values := r.Samples.Elapsed, r.Samples.Values[channel]
	first, end := between(r, from, to)
	since := first
	for i := first + 1; i < end; i++ {
		if values[i] != values[since] || elapsed[i]-elapsed[i-1] > c.limits.GapS { // a blank equals nothing
			since = i
		} else if same := elapsed[i] - elapsed[since]; same > f.seconds {
			f.seconds, f.value = same, values[i]
		}
	}
	return f
}

// spike is the sample that stands out most, in percent of its neighbours' mean.
type spike struct {
	channel           trial.Channel
	n                 int
	value, beside, by float64
}

func valueSpike(c *sessionCheck) {
	for i, b := range c.blocks {
		var worst spike
		for _, pair := range rangedChannels {
			if r := c.sources[pair.channel]; r != nil {
				if s := c.spikes(r, pair.channel, b.From, b.To); s.by > worst.by {
					worst = s
				}
			}
		}
		if worst.n > 0 {
			info := worst.channel.Info()
			c.report(i, trial.Finding{Severity: trial.Warn, Value: worst.by, Limit: c.limits.SpikePct,
				Message: fmt.Sprintf("%s jumps alone in %s, the worst reads %s %s beside %s", info.Label, counted(worst.n, "sample"), units.FormatDecimal(worst.value, info.Decimals), info.Unit, units.FormatDecimal(worst.beside, info.Decimals)),
				Hint:    "they are part of the mean; look at the trace"})
		}
	}
}

// spikes looks for samples that leave both neighbours, which agree with each
// other twice as well and read something possible: what is unsteady all along is
// for other rules.
func (c *sessionCheck) spikes(r *trial.Recording, channel trial.Channel, from, to float64) spike {
	worst := spike{channel: channel}
	elapsed, values := r.Samples.Elapsed, r.Samples.Values[channel]
	possible := c.limits.Ranges[channel.Info().Column].Stop
	first, end := between(r, from, to)
	for i := max(first, 1); i < min(end, len(values)-1); i++ {
		before, after := values[i-1], values[i+1]
		beside := (before + after) / 2
		out := math.Abs(values[i] - beside)
		by := float64(100*out) / beside
		if by > c.limits.SpikePct && math.Abs(before-after) < out/2 && !units.Known(beyond(beside, possible)) && elapsed[i+1]-elapsed[i-1] <= c.limits.GapS {
			worst.n++
			if by > worst.by {
				worst.value, worst.beside, worst.by = values[i], beside, by
			}
		}
	}
	return worst
}

func distanceFalling(c *sessionCheck) {
	r := c.sources[trial.DistanceM]
	if r == nil {
		return
	}
	values := r.Samples.Values[trial.DistanceM]
	for i, b := range c.blocks {
		lost, last := 0.0, units.Missing
		first, end := between(r, b.Start, b.End)
		for _, v := range values[first:end] {
			if v < last {
				lost += last - v
			}
			if units.Known(v) {
				last = v
			}
		}
		if lost > 0 {
			c.report(i, trial.Finding{Severity: trial.Warn, Value: lost, Limit: 0,
				Message: fmt.Sprintf("the recorded distance falls by %s m in %q", units.FormatDecimal(lost, 1), r.Fact.File),
				Hint:    "a distance never falls; a device that starts again at each lap needs its laps put end to end"})
		}
	}
}

func speedDistance(c *sessionCheck) {
	if c.sources[trial.SpeedMps] == nil {
		return // then the speed is made from the distance
	}
	for i, b := range c.blocks {
		speed := b.Outcomes[trial.Speed]
		if off := float64(100 * (b.DistanceSpeed/speed - 1)); math.Abs(off) > c.limits.SpeedDistancePct {
			c.report(i, trial.Finding{Severity: trial.Warn, Value: off, Limit: c.limits.SpeedDistancePct,
				Message: fmt.Sprintf("the recorded distance gives %s m/s, the recorded speed is %s m/s (%s %%)", units.FormatDecimal(b.DistanceSpeed, 3), units.FormatDecimal(speed, 3), signed(off)),
				Hint:    "compare with the measured laps to see which one is off"})
		}
	}
}
