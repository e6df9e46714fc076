package quality

import (
	"math"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// oddity is what one channel has to show of a kind of oddity in a block.
type oddity struct {
	channel            trial.Channel
	n                  int
	value, beside      float64
	size, limit, worse float64 // worse is size over limit
}

// worst returns the channel that shows most of an oddity in a block, against its
// own limit; nothing when n is 0.
func (c *sessionCheck) worst(i int, look func(r *trial.Recording, o *oddity, first, end int)) oddity {
	var worst oddity
	for _, pair := range rangedChannels {
		r := c.sources[pair.channel]
		if r == nil {
			continue
		}
		o := oddity{channel: pair.channel}
		first, end := between(r, c.blocks[i].From, c.blocks[i].To)
		look(r, &o, first, end)
		if o.worse = o.size / o.limit; o.n > 0 && !(o.worse <= worst.worse) {
			worst = o
		}
	}
	return worst
}

func valueFrozen(c *sessionCheck) {
	for i := range c.blocks {
		if o := c.worst(i, c.frozen); o.size > o.limit {
			c.say(i, trial.Warn, o.size, o.limit, o.channel.Info().Label+" reads "+value(o.channel, o.value)+" for "+num(o.size, 0)+" s on end")
		}
	}
}

// frozen finds the longest time over which a channel reads the same number. What
// comes in coarse steps may stand still for longer.
func (c *sessionCheck) frozen(r *trial.Recording, o *oddity, first, end int) {
	o.limit = c.limits.FrozenS
	if o.channel == trial.HeartRateBpm || o.channel == trial.CadenceSpm || o.channel == trial.StepLengthM {
		o.limit = c.limits.FrozenCoarseS
	}
	elapsed, values := r.Samples.Elapsed, r.Samples.Values[o.channel]
	since := first
	for i := first + 1; i < end; i++ {
		if values[i] != values[since] || elapsed[i]-elapsed[i-1] > c.limits.GapS { // a blank equals nothing
			since = i
		} else if same := elapsed[i] - elapsed[since]; same > o.size {
			o.n, o.size, o.value = 1, same, values[i]
		}
	}
}

func valueSpike(c *sessionCheck) {
	for i := range c.blocks {
		if o := c.worst(i, c.spikes); o.n > 0 {
			c.say(i, trial.Warn, o.size, o.limit, o.channel.Info().Label+" jumps alone in "+counted(o.n, "sample")+", the worst reads "+value(o.channel, o.value)+" beside "+plain(o.channel, o.beside))
		}
	}
}

// spikes looks for samples that leave both neighbours, which agree with each
// other twice as well and read something possible: what is unsteady all along is
// for other rules.
func (c *sessionCheck) spikes(r *trial.Recording, o *oddity, first, end int) {
	o.limit = c.limits.SpikePct
	elapsed, values := r.Samples.Elapsed, r.Samples.Values[o.channel]
	possible := c.limits.Ranges[o.channel.Info().Column].Stop
	for i := max(first, 1); i < min(end, len(values)-1); i++ {
		before, after := values[i-1], values[i+1]
		beside := (before + after) / 2
		out := math.Abs(values[i] - beside)
		by := float64(100*out) / beside
		if by > o.limit && math.Abs(before-after) < out/2 && elapsed[i+1]-elapsed[i-1] <= c.limits.GapS && !units.Known(beyond(beside, possible)) {
			o.n++
			if by > o.size {
				o.value, o.beside, o.size = values[i], beside, by
			}
		}
	}
}

func distanceFalling(c *sessionCheck) {
	r := c.sources[trial.DistanceM]
	if r == nil {
		return
	}
	for i := range c.blocks {
		lost, last := 0.0, units.Missing
		first, end := between(r, c.blocks[i].Start, c.blocks[i].End)
		for _, v := range r.Samples.Values[trial.DistanceM][first:end] {
			if v < last {
				lost += last - v
			}
			if units.Known(v) {
				last = v
			}
		}
		if lost > 0 {
			c.say(i, trial.Warn, lost, 0, "the recorded distance falls by "+num(lost, 1)+" m in "+quoted(r.Fact.File))
		}
	}
}
