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
// blocks or changed within them by more than looseShare, and the other effort by
// less than heldBetter of that. Engineering choices.
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
// mean of their second halves, in whole watts, seconds per km or bpm; missing
// where nothing was recorded of it. A difference between shoes hardly depends on
// it.
func Target(s *trial.Samples, effort trial.Effort, blocks []Found) float64 {
	c, ok := held[effort]
	if !ok || s == nil {
		return units.Missing
	}
	values := signalOf(s, c)
	var means []float64
	for _, b := range blocks {
		if m := values.mean((b.StartS+b.EndS)/2, b.EndS); m > 0 {
			means = append(means, values.unit(m))
		}
	}
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
	best, least := trial.Effort(""), math.Inf(1)
	for _, effort := range []trial.Effort{trial.Power, trial.Pace, trial.HeartRate} {
		variation, recorded := p.variation(e, held[effort])
		if recorded && (best == "" || least > looseShare && variation < float64(heldBetter*least)) {
			best, least = effort, variation
		}
	}
	return best
}

// variation is how much a channel varied as a share of itself: the standard
// deviation between the blocks, and the change from the middle third of a block
// to its last one.
func (p *Proposal) variation(e Evidence, c trial.Channel) (share float64, recorded bool) {
	s := signalOf(e.Samples, c)
	var means, changes []float64
	for _, b := range p.Blocks {
		third := (b.EndS - b.StartS) / 3
		middle, last := s.mean(b.StartS+third, b.EndS-third), s.mean(b.EndS-third, b.EndS)
		if middle > 0 && last > 0 {
			means, changes = append(means, s.unit(last)), append(changes, s.unit(last)/s.unit(middle)-1)
		}
	}
	if len(means) < 2 {
		return 1, len(means) > 0
	}
	between, within := stats.SD(means)/stats.Mean(means), stats.Mean(changes)
	return math.Sqrt(float64(between*between) + float64(within*within)), true
}

// signalOf is a channel of a recording, whole but for gaps.
func signalOf(s *trial.Samples, c trial.Channel) signal {
	values := s.Values[c]
	if c == trial.SpeedMps {
		values = speed(s)
	}
	return newSignal(Evidence{Samples: s}, c, values)
}
