package segment

import (
	"math"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// held is the channel that shows how an effort was held.
var held = map[trial.Effort]trial.Channel{
	trial.Power: trial.PowerW, trial.Pace: trial.SpeedMps, trial.HeartRate: trial.HeartRateBpm,
}

// What tells that something other than power was held: power differed between the
// blocks by more than looseShare, and the other effort by less than heldBetter of
// that. Engineering choices.
const (
	looseShare = 0.01
	heldBetter = 0.5
)

// guess fills in what was held and at which target, where nobody said.
func (p *Proposal) guess(e Evidence) {
	if p.Effort == "" {
		p.Effort = p.guessEffort(e)
	}
	if !units.Known(p.Target) {
		p.Target = Target(e.Samples, p.Effort, p.Blocks)
	}
}

// Target is what an effort was held at as it looks: the median over blocks of the
// mean of their last thirds, in whole watts, seconds per km or bpm; missing
// where nothing was recorded of it. A difference between shoes hardly depends on
// it.
func Target(s *trial.Samples, effort trial.Effort, blocks []Found) float64 {
	c, ok := held[effort]
	if !ok || s == nil {
		return units.Missing
	}
	means := meansAtEnd(s, c, blocks)
	if len(means) == 0 {
		return units.Missing
	}
	target := stats.Median(means)
	if effort == trial.Pace {
		target = 1000 / target
	}
	return math.Round(target)
}

// guessEffort is power where that was recorded and kept, else the effort that
// varied least.
func (p *Proposal) guessEffort(e Evidence) trial.Effort {
	if e.Samples == nil {
		return ""
	}
	best, least := trial.Effort(""), 0.0
	for _, effort := range []trial.Effort{trial.Power, trial.Pace, trial.HeartRate} {
		variation, recorded := p.variation(e, held[effort])
		if recorded && (best == "" || least > looseShare && variation < float64(heldBetter*least)) {
			best, least = effort, variation
		}
	}
	return best
}

// variation is how much a channel varied between the blocks, as a share of itself:
// the standard deviation of its means over their last thirds, where heart rate has
// settled.
func (p *Proposal) variation(e Evidence, c trial.Channel) (share float64, recorded bool) {
	means := meansAtEnd(e.Samples, c, p.Blocks)
	if len(means) < 2 {
		return 1, len(means) > 0
	}
	return stats.SD(means) / stats.Mean(means), true
}

// meansAtEnd are a channel's means over the last third of each block, in its unit,
// where it has values.
func meansAtEnd(s *trial.Samples, c trial.Channel, blocks []Found) []float64 {
	values := signalOf(s, c)
	var means []float64
	for _, b := range blocks {
		if m := values.mean(b.EndS-(b.EndS-b.StartS)/3, b.EndS); m > 0 {
			means = append(means, values.unit(m))
		}
	}
	return means
}

// signalOf is a channel of a recording, whole but for gaps.
func signalOf(s *trial.Samples, c trial.Channel) signal {
	values := s.Values[c]
	if c == trial.SpeedMps {
		values = speed(s)
	}
	return newSignal(Evidence{Samples: s}, c, values)
}
