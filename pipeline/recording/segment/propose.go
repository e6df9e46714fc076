package segment

import (
	"math"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// What makes a time at effort a block. Engineering choices, no source: a block is
// meant to hold an effort for minutes, easy running is clearly easier, and blocks
// of one session resemble each other.
const (
	blockS      = 120  // blocks are looked for from this length
	shortBlockS = 60   // and from this one where there are none
	sameLength  = 1.33 // the ratio up to which lengths are alike
	cutShort    = 0.5  // of the usual length: what is shorter is no block
	tooLong     = 1.6  // of the usual length
	otherTarget = 0.72 // of the hardest target: what is easier is no second target
	targetShare = 0.2  // a target is believed to tell blocks within this share
	harder      = 1.04 // the ratio of two levels that a press of the lap button parts
)

// shares are the thresholds that are tried, as shares of the level of the blocks;
// the first one counts unless the number of blocks is known.
var shares = []float64{0.85, 0.9, 0.8, 0.95, 0.75}

// Propose finds the blocks of a session. It tries power and speed, each where it
// is recorded, and takes the one that the runner kept more even within blocks
// (on hills that is power, with a wandering sensor it is speed); cadence or heart
// rate where neither is recorded. A session in which nothing stands out gives its
// longest stretch at effort.
func Propose(e Evidence) Proposal {
	proposal := Proposal{Channel: trial.PowerW, Effort: e.Effort, Target: units.Missing}
	if e.Target > 0 {
		proposal.Target = e.Target
	}
	var best *attempt
	for _, s := range signals(e) {
		a := s.find(e)
		if best == nil || a.score < best.score-scoreApart {
			best = &a
		}
	}
	if best == nil {
		return proposal
	}
	proposal.Channel, proposal.Automatic = best.signal.channel, best.presses.automatic
	for _, b := range best.blocks {
		proposal.Blocks = append(proposal.Blocks,
			Found{b.startS, b.endS, best.signal.unit(b.level), b.startLap, b.endLap})
		proposal.Laps += min(b.startLap, 1) + min(b.endLap, 1)
	}
	proposal.guess(e)
	return proposal
}

// attempt is what one channel tells of the blocks. The lower its score, the
// better.
type attempt struct {
	signal  signal
	list    []stretch
	presses presses
	blocks  []span
	score   float64
}

// scoreApart is by how much a score must be better to go before power.
const scoreApart = 0.01

// find finds the blocks by one channel.
func (s signal) find(e Evidence) attempt {
	a := attempt{signal: s, list: s.stretches(), presses: pressesOf(e)}
	if a.presses.suspect() {
		alone := attempt{signal: s, list: a.list}
		alone.try(e)
		a.presses = a.presses.without(alone.blocks)
	}
	a.try(e)
	return a
}

// try finds the blocks at the usual threshold, or at the first one that gives as
// many as there are known to be.
func (a *attempt) try(e Evidence) {
	for i, share := range shares {
		blocks := a.blocksAt(share, e)
		if i == 0 || len(blocks) == e.Count {
			a.blocks = blocks
		}
		if e.Count == 0 || len(blocks) == e.Count {
			break
		}
	}
	a.score = a.judge(e.Count)
}

// blocksAt finds the blocks whose effort is at least a share of their level.
func (a *attempt) blocksAt(share float64, e Evidence) []span {
	group := a.repeated(share, e)
	var blocks []span
	if len(group) == 0 {
		blocks = a.longest(share, e)
	} else {
		lowest := group[0].level
		for _, g := range group {
			lowest = min(lowest, g.level)
		}
		blocks = choose(a.spans(float64(share*lowest), e), medianLevel(group), e)
	}
	a.edgesAtPresses(blocks)
	return blocks
}

// spans are the times at effort above a threshold, divided by presses.
func (a *attempt) spans(threshold float64, e Evidence) []span {
	return a.splitAtPresses(a.signal.spansAbove(a.list, threshold), e)
}

// repeated finds the times at effort that resemble each other: at the hardest
// level that was run at least twice, the target's where it is known. An easier
// level joins them where a session has several targets: it was run at least
// twice, and between the harder ones.
func (a *attempt) repeated(share float64, e Evidence) []span {
	for _, wanted := range []float64{a.signal.target(e), units.Missing} {
		for _, shortest := range []float64{blockS, shortBlockS} {
			var chosen []span
			hardest := 0.0
			for _, level := range levels(a.list) {
				if units.Known(wanted) && math.Abs(stats.Log(level/wanted)) > targetShare {
					continue
				}
				group := alike(a.spans(float64(share*level), e), shortest)
				switch {
				case len(group) < 2:
				case chosen == nil:
					chosen, hardest = group, medianLevel(group)
				case joins(group, chosen, hardest):
					chosen = group
				}
			}
			if chosen != nil {
				return chosen
			}
		}
	}
	return nil
}

// target is the session's target on the signal's scale, missing where it is not
// of that channel.
func (s signal) target(e Evidence) float64 {
	switch {
	case !(e.Target > 0):
	case e.Effort == trial.Power && s.channel == trial.PowerW:
		return e.Target
	case e.Effort == trial.Pace && s.channel == trial.SpeedMps:
		return 1000 / e.Target
	case e.Effort == trial.HeartRate && s.channel == trial.HeartRateBpm:
		return max(e.Target-restHeart, 1)
	}
	return units.Missing
}

// joins reports whether a group at an easier level holds all spans of a harder
// one, and at least two more of which one lies between those.
func joins(group, chosen []span, hardest float64) bool {
	held, more, between := 0, 0, false
	for _, g := range group {
		same := false
		for _, c := range chosen {
			same = same || g.startS < c.endS && c.startS < g.endS
		}
		switch {
		case same:
			held++
		case g.level >= float64(otherTarget*hardest):
			more++
			between = between || g.startS > chosen[0].startS && g.endS < chosen[len(chosen)-1].endS
		}
	}
	return held == len(chosen) && more >= 2 && between
}

// longest is the one stretch at effort of a session that repeats nothing.
func (a *attempt) longest(share float64, e Evidence) []span {
	hardest := 0.0
	for _, l := range a.list {
		if l.durationS() >= blockS {
			hardest = max(hardest, l.mean)
		}
	}
	if hardest == 0 {
		return nil
	}
	var best []span
	for _, sp := range a.spans(float64(share*hardest), e) {
		if sp.durationS() >= blockS && (best == nil || sp.durationS() > best[0].durationS()) {
			best = []span{sp}
		}
	}
	return best
}

// choose keeps the blocks among the times at effort: those of a length alike, of
// the planned one where some are. What is much longer or shorter is warm-up, run
// home or a burst.
func choose(spans []span, level float64, e Evidence) []span {
	// The stretches that resemble each other are the blocks.
	group := alike(spans, shortBlockS)
	if long := alike(spans, blockS); len(long) >= 2 || len(group) == 0 {
		group = long
	}
	if len(group) == 0 {
		return nil
	}
	// How long a block is: as stated, where a stretch is about that long.
	usual := medianLength(group)
	if e.BlockS > 0 {
		for _, s := range spans {
			if r := s.durationS() / e.BlockS; r >= 1/sameLength && r <= sameLength {
				usual = e.BlockS
			}
		}
	}
	// Between the first and the last a block may be cut short or off its level; outside not.
	first, last := group[0].startS, group[len(group)-1].endS
	var kept []span
	for _, b := range spans {
		inside := b.startS >= first && b.endS <= last
		length := b.durationS() / usual
		switch {
		case length < cutShort, length > tooLong && !inside:
		case length > sameLength && !inside && b.level < float64(level*0.95):
		case length < 1/sameLength && b.startS < first:
		default:
			kept = append(kept, b)
		}
	}
	return kept
}

// judge is how uneven the blocks are: the typical variation within them, their
// difference in length, and a penalty for too few or another number than known.
func (a attempt) judge(count int) float64 {
	if len(a.blocks) == 0 {
		return 10
	}
	var within, lengths []float64
	for _, b := range a.blocks {
		within = append(within, a.signal.unevenness(b))
		lengths = append(lengths, stats.Log(b.durationS()))
	}
	score := stats.Median(within)
	if len(a.blocks) == 1 {
		score += 1
	} else {
		mean := stats.Mean(lengths)
		spread := 0.0
		for _, l := range lengths {
			spread += math.Abs(l - mean)
		}
		score += float64(half * spread / float64(len(lengths)))
	}
	if count > 0 && len(a.blocks) != count {
		score++
	}
	return score
}

// evenS are the seconds over which an effort is averaged before its variation is
// judged, so that noise from step to step does not count.
const evenS = 20

// unevenness is the standard deviation of averages over evenS seconds within a
// span, after its first settleS, as a share of its level.
func (s signal) unevenness(sp span) float64 {
	var means []float64
	for t := sp.startS + settleS; t+evenS <= sp.endS; t += evenS {
		if m := s.mean(t, t+evenS); units.Known(m) {
			means = append(means, m)
		}
	}
	if len(means) < 2 || !(sp.level > 0) {
		return 0
	}
	return stats.SD(means) / sp.level
}
