package segment

import (
	"cmp"
	"math"
	"slices"

	"soletrial/pipeline/stable"
	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// How laps are understood. Engineering choices, no source.
const (
	sameDistance  = 0.01 // by this share automatic laps of one distance differ
	sameDistanceM = 6    // or by this much, since they end on a sample
	sameTimeS     = 1.5  // by so much automatic laps of one duration differ
	largeShare    = 0.6  // of all: so many laps of one distance are automatic
	pressS        = 30   // a press tells the edge of a block that is so near
	pressHeartS   = 75   // the same where only heart rate tells effort
	insideS       = 45   // a press further from both edges may divide a block
)

// press is a time at which a lap ended and the next one started.
type press struct {
	atS           float64
	before, after int  // the laps that end and start there, from 1; 0 for none
	suspect       bool // the device may have made it by itself
}

// presses are those of one session.
type presses struct {
	list      []press
	automatic int // laps that the device made by itself
}

// pressesOf returns where the run was divided into laps, within the samples.
func pressesOf(e Evidence) presses {
	var p presses
	if e.IgnoreLaps || len(e.Laps) < 2 {
		return p
	}
	suspect := automaticLaps(e.Laps)
	first, last := e.Laps[0].StartS, e.Laps[len(e.Laps)-1].EndS
	if e.Samples != nil && e.Samples.Len() > 0 {
		first, last = slices.Min(e.Samples.Elapsed), slices.Max(e.Samples.Elapsed)+usualStep(e.Samples.Elapsed)
	}
	for i, lap := range e.Laps {
		p.add(press{atS: min(max(lap.StartS, first), last), before: i, after: i + 1, suspect: i > 0 && suspect[i-1]})
		p.add(press{atS: min(max(lap.EndS, first), last), before: i + 1, suspect: suspect[i]})
	}
	stable.Sort(p.list, func(a, b press) int { return cmp.Compare(a.atS, b.atS) })
	return p
}

// add adds a press, which is the last one where it is no second later.
func (p *presses) add(at press) {
	if n := len(p.list); n > 0 && math.Abs(p.list[n-1].atS-at.atS) < 1 {
		p.list[n-1].after = max(p.list[n-1].after, at.after)
		return
	}
	p.list = append(p.list, at)
}

// suspect reports whether any press may be the device's own.
func (p presses) suspect() bool {
	return slices.ContainsFunc(p.list, func(at press) bool { return at.suspect })
}

// without leaves out the presses that the device made by itself. A suspect one is
// a real one if most of them are at edges of blocks, found without them: a runner
// who presses at the start of every block has laps as equal as a device.
func (p presses) without(blocks []span) presses {
	suspects, atEdge := 0, 0
	for _, at := range p.list {
		if !at.suspect {
			continue
		}
		suspects++
		for _, b := range blocks {
			if math.Abs(at.atS-b.startS) <= pressS || math.Abs(at.atS-b.endS) <= pressS {
				atEdge++
				break
			}
		}
	}
	if float64(atEdge) > float64(largeShare*float64(suspects)) {
		return p
	}
	kept := presses{automatic: suspects}
	for _, at := range p.list {
		if !at.suspect {
			kept.list = append(kept.list, at)
		}
	}
	if len(kept.list) <= 2 { // the start and the end of the recording
		return presses{automatic: suspects + 1}
	}
	return kept
}

// automaticLaps says which laps ended because a distance or a time was reached.
// The last one ends with the recording and tells nothing. A few laps of one
// distance among others are intervals of a workout.
func automaticLaps(laps []trial.Lap) []bool {
	automatic := make([]bool, len(laps))
	full := laps[:len(laps)-1]
	distances, times := make([]float64, len(full)), make([]float64, len(full))
	said := true
	for i, lap := range full {
		distances[i], times[i] = lap.DistanceM, lap.EndS-lap.StartS
		said = said && lap.Trigger == "distance"
	}
	// Laps of one usual length are automatic, where they are the large share.
	mark := func(values []float64, tolerance float64, enough int) bool {
		usual := usualValue(values, tolerance)
		n := 0
		for _, v := range values {
			if math.Abs(v-usual) <= tolerance {
				n++
			}
		}
		if !(usual > 0) || n < enough || float64(n) <= float64(largeShare*float64(len(full))) {
			return false
		}
		for i, v := range values {
			automatic[i] = math.Abs(v-usual) <= tolerance
		}
		return true
	}
	// By distance first, which a device may say itself; else by time.
	enough := 2
	if said {
		enough = 1
	}
	median := stats.Median(known(distances))
	if !mark(distances, max(sameDistanceM, float64(sameDistance*median)), enough) {
		mark(times, sameTimeS, 3)
	}
	return automatic
}

func known(values []float64) []float64 {
	kept := []float64{0}[:0]
	for _, v := range values {
		if units.Known(v) {
			kept = append(kept, v)
		}
	}
	if len(kept) == 0 {
		return []float64{0}
	}
	return kept
}

// usualValue is the value that most others are near.
func usualValue(values []float64, tolerance float64) float64 {
	best, most := units.Missing, 0
	for _, v := range values {
		n := 0
		for _, w := range values {
			if math.Abs(v-w) <= tolerance {
				n++
			}
		}
		if n > most {
			best, most = v, n
		}
	}
	return best
}

// splitAtPresses divides spans at presses inside them where the effort on both
// sides differs, or where there are fewer spans than blocks are known to be.
func (a *attempt) splitAtPresses(spans []span, e Evidence) []span {
	always := e.Count > len(spans)
	s := a.signal
	var blocks []span
	for _, sp := range spans {
		rest := sp
		for _, at := range a.presses.list {
			if at.atS < rest.startS+insideS || at.atS > rest.endS-insideS {
				continue
			}
			left, right := rest, rest
			left.endS, right.startS = at.atS, at.atS
			left.level, right.level = s.level(left.startS, left.endS), s.level(right.startS, right.endS)
			if r := left.level / right.level; always || r > harder || r < 1/harder {
				blocks = append(blocks, left)
				rest = right
			}
		}
		blocks = append(blocks, rest)
	}
	return withoutRests(blocks)
}

// withoutRests leaves out what a press divided from two harder neighbours: rests
// that were run nearly as fast as the blocks.
func withoutRests(blocks []span) []span {
	var kept []span
	for i, b := range blocks {
		if i > 0 && i+1 < len(blocks) && blocks[i-1].endS == b.startS && b.endS == blocks[i+1].startS &&
			b.level < blocks[i-1].level && b.level < blocks[i+1].level {
			continue
		}
		kept = append(kept, b)
	}
	return kept
}

// edgesAtPresses moves the edges of blocks to the presses that are near them.
func (a *attempt) edgesAtPresses(blocks []span) {
	s, p := a.signal, a.presses
	near := float64(pressS)
	if s.channel == trial.HeartRateBpm {
		near = pressHeartS
		for i := range blocks {
			s.withoutLag(&blocks[i])
		}
	}
	for i := range blocks {
		b := &blocks[i]
		if at, ok := p.nearest(b.startS, near, func(at press) bool { return at.after > 0 }); ok && at.atS < b.endS {
			b.startS, b.startLap = at.atS, at.after
		}
		if at, ok := p.nearest(b.endS, near, func(at press) bool { return at.before > 0 }); ok && at.atS > b.startS {
			b.endS, b.endLap = at.atS, at.before
		}
		if i > 0 && b.startS < blocks[i-1].endS {
			b.startS = blocks[i-1].endS
		}
		b.level = s.level(b.startS, b.endS)
	}
}

// nearest is the press nearest to a time, of those that will do.
func (p presses) nearest(t, within float64, will func(press) bool) (press, bool) {
	var best press
	found := false
	for _, at := range p.list {
		d := math.Abs(at.atS - t)
		if d <= within && will(at) && (!found || d < math.Abs(best.atS-t)) {
			best, found = at, true
		}
	}
	return best, found
}

// withoutLag moves the edges of a block that only heart rate tells: it starts
// where heart rate begins to rise and ends where it begins to fall.
func (s signal) withoutLag(sp *span) {
	part := s.sections[sp.section]
	k := min(part.index(sp.startS), len(part.at)-1)
	for k > 0 && sp.startS-part.at[k-1] <= 2*edgeS && part.smooth(k-1) <= part.smooth(k) {
		k--
	}
	sp.startS = part.at[k]
	k = min(part.index(sp.endS), len(part.at)-1)
	for k > 0 && sp.endS-part.at[k-1] <= 2*edgeS && part.at[k-1] > sp.startS && part.smooth(k-1) >= part.smooth(k) &&
		part.smooth(k) < sp.level {
		k--
	}
	sp.endS = part.at[k]
}
