package quality

import (
	"math"
	"strconv"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// anomaly is what one channel has to show of a kind of anomaly in a block.
type anomaly struct {
	channel            trial.Channel
	n                  int
	value, beside      float64
	size, limit, worse float64 // worse is size over limit
}

// worst returns the channel that shows most of an anomaly in a block, against its
// own limit; nothing when n is 0. Only channels with such a place in the steady
// window are inspected.
func (c *sessionCheck) worst(i int, where *[trial.ChannelCount]places,
	inspect func(r *trial.Recording, o *anomaly, first, end int)) anomaly {
	var worst anomaly
	for _, pair := range trial.ChannelMeans {
		r := c.sources[pair.Channel]
		if len(where[pair.Channel]) == 0 {
			continue
		}
		first, end := between(r, c.blocks[i].From, c.blocks[i].To)
		if !where[pair.Channel].within(first, end) {
			continue
		}
		o := anomaly{channel: pair.Channel}
		inspect(r, &o, first, end)
		if o.worse = o.size / o.limit; o.n > 0 && !(o.worse <= worst.worse) {
			worst = o
		}
	}
	return worst
}

func valueFrozen(c *sessionCheck) {
	for i := range c.blocks {
		if o := c.worst(i, &c.screening.frozen, c.frozen); o.size > o.limit {
			c.say(i, trial.Warn, o.size, o.limit,
				o.channel.Info().Label+" stays at "+value(o.channel, o.value)+" for "+num(o.size, 0)+" s")
		}
	}
}

// frozenLimit is how long a channel may read the same. What comes in coarse steps
// may stand still for longer.
func frozenLimit(limits *trial.Limits, channel trial.Channel) float64 {
	if channel == trial.HeartRateBpm || channel == trial.CadenceSpm || channel == trial.StepLengthM {
		return limits.FrozenCoarseS
	}
	return limits.FrozenS
}

// frozen finds the longest time over which a channel reads the same number.
func (c *sessionCheck) frozen(r *trial.Recording, o *anomaly, first, end int) {
	o.limit = frozenLimit(c.limits, o.channel)
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
		if o := c.worst(i, &c.screening.spikes, c.spikes); o.n > 0 {
			c.say(i, trial.Warn, o.size, o.limit,
				o.channel.Info().Label+" jumps for "+units.Count(o.n, "single sample")+"; the largest reads "+
					value(o.channel, o.value)+", its neighbours "+plain(o.channel, o.beside))
		}
	}
}

// spikes counts the spikes in a block and keeps the worst.
func (c *sessionCheck) spikes(r *trial.Recording, o *anomaly, first, end int) {
	o.limit = c.limits.SpikePct
	elapsed, values := r.Samples.Elapsed, r.Samples.Values[o.channel]
	possible := c.limits.Ranges[o.channel.Info().Column].Stop
	for i := max(first, 1); i < min(end, len(values)-1); i++ {
		beside, by, found := spike(elapsed, values, i, c.limits, possible)
		if found {
			o.n++
			if by > o.size {
				o.value, o.beside, o.size = values[i], beside, by
			}
		}
	}
}

// spike reports whether a sample leaves both neighbours, which agree with each
// other twice as well and read something possible, and by how many percent: what
// is unsteady all along is for other rules.
func spike(elapsed, values []float64, i int, limits *trial.Limits, possible []float64) (beside, by float64,
	found bool) {
	before, after := values[i-1], values[i+1]
	beside = (before + after) / 2
	out := math.Abs(values[i] - beside)
	by = float64(100*out) / beside
	return beside, by, by > limits.SpikePct && math.Abs(before-after) < out/2 &&
		elapsed[i+1]-elapsed[i-1] <= limits.GapS && !units.Known(beyond(beside, possible))
}

func distanceFalling(c *sessionCheck) {
	r := c.sources[trial.DistanceM]
	if len(c.screening.falls) == 0 {
		return
	}
	for i := range c.blocks {
		lost, last := 0.0, units.Missing
		first, end := between(r, c.blocks[i].Start, c.blocks[i].End)
		if !c.screening.falls.within(first, end) {
			continue
		}
		for _, v := range r.Samples.Values[trial.DistanceM][first:end] {
			if v < last {
				lost += last - v
			}
			if units.Known(v) {
				last = v
			}
		}
		if lost > 0 {
			c.say(i, trial.Warn, lost, 0, "the recorded distance falls by "+num(lost, 1)+" m in "+
				strconv.Quote(r.Fact.File))
		}
	}
}
