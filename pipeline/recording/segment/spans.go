package segment

import (
	"math"
	"slices"

	"soletrial/pipeline/stable"
	"soletrial/pipeline/stats"
	"soletrial/pipeline/units"
)

// What is one block. Engineering choices, no source.
const (
	dipS      = 12   // a block goes on after so many seconds at less than clearly of its effort
	dipLongS  = 35   // and after so many at less than the threshold
	clearly   = 0.7  // of the threshold: below it a runner no longer tries
	half      = 0.5  // of the level: below it a runner has stopped or walks
	easyLevel = 0.75 // of the level: an even stretch below it is easy running
	edge      = 0.35 // of the way from the level outside to the level inside
	edgeS     = 60   // how far an edge may be from where the division puts it
	flankS    = 45   // a shorter stretch beside a block is the way up to its effort
	settleS   = 30   // at the start of a block are left out of its level
	// lastSamples are the samples by which the end of a section is judged.
	lastSamples = 3
)

// span is a time at effort, perhaps a block.
type span struct {
	section          int
	startS, endS     float64
	level            float64 // its mean without the first settleS
	startLap, endLap int     // the laps that tell its edges, from 1; 0 for none
}

func (s span) durationS() float64 { return s.endS - s.startS }

// spansAbove unites the stretches that reach the threshold, across short dips,
// and moves the edges of what it gets to where the effort starts and ends.
func (s signal) spansAbove(list []stretch, threshold float64) []span {
	var spans []span
	for i := 0; i < len(list); i++ {
		if !(list[i].mean >= threshold) {
			continue
		}
		first := i
		for i+1 < len(list) && list[i+1].section == list[first].section {
			next := s.continued(list, i, threshold)
			if next < 0 {
				break
			}
			i = next
		}
		sp := span{section: list[first].section, startS: list[first].startS, endS: list[i].endS}
		sp.level = s.level(sp.startS, sp.endS)
		sp.startS = s.edgeOf(list, first, sp, -1)
		sp.endS = s.edgeOf(list, i, sp, +1)
		sp.level = s.level(sp.startS, sp.endS)
		if n := len(spans); sp.endS > sp.startS && (n == 0 || spans[n-1].endS <= sp.startS) {
			spans = append(spans, sp)
		}
	}
	return spans
}

// continued returns the next stretch of a span that has reached stretch i: the
// one after it, or one across a dip; -1 where the span ends.
func (s signal) continued(list []stretch, i int, threshold float64) int {
	for j := i + 1; j < len(list) && list[j].section == list[i].section; j++ {
		if list[j].mean >= threshold {
			return j
		}
		from, to := list[i].endS, list[j].endS
		if to-from > dipLongS || s.secondsBelow(list[i].section, from, to, float64(clearly*threshold)) > dipS {
			return -1
		}
	}
	return -1
}

// secondsBelow is how long a section stays below a value within a time.
func (s signal) secondsBelow(number int, from, to, limit float64) float64 {
	part, total := s.sections[number], 0.0
	for i := part.index(from); i < len(part.at) && part.at[i] < to; i++ {
		if i+1 < len(part.at) && part.value[i] < limit {
			total += part.at[i+1] - part.at[i]
		}
	}
	return total
}

// level is the mean of a time without its first settleS, or of all of a short one.
func (s signal) level(from, to float64) float64 {
	if to-from > 2*settleS {
		if m := s.mean(from+settleS, to); units.Known(m) {
			return m
		}
	}
	return s.mean(from, to)
}

// edgeOf is where the effort of a span starts (way -1) or ends (way +1): beside
// stretch i, its first or last one, at the sample where the effort passes edge of
// the way between the levels outside and inside.
func (s signal) edgeOf(list []stretch, i int, sp span, way int) float64 {
	part := s.sections[sp.section]
	outside := 0.0 // nothing is known: the section ends here
	for j := i + way; j >= 0 && j < len(list) && list[j].section == sp.section; j += way {
		long := list[j].durationS() > flankS
		if list[j].mean < sp.level && (long || list[j].mean < float64(half*sp.level) || s.easy(list[j], sp.level)) {
			outside = list[j].mean
			break
		}
	}
	if way > 0 && outside == 0 {
		outside = part.lastLevel(list[i].endS, sp.level)
	}
	limit := outside + float64(edge*(sp.level-outside))
	at := sp.startS
	if way > 0 {
		at = sp.endS
	}
	k := part.index(at)
	if way > 0 {
		k = max(0, k-1) // the last sample inside
		if at >= part.at[len(part.at)-1] {
			k = len(part.at) - 1
		}
	}
	near := func(k int) bool { return k >= 0 && k < len(part.at) && math.Abs(part.at[k]-at) <= edgeS }
	// Inwards over samples that are below the limit, then outwards over those above.
	for near(k) && part.smooth(k) < limit {
		k -= way
	}
	for near(k+way) && part.smooth(k+way) >= limit {
		k += way
	}
	k = min(max(k, 0), len(part.at)-1)
	if way > 0 && k+1 < len(part.at) {
		return part.at[k+1]
	}
	return part.at[k]
}

// lastLevel is the level at which a section ends soon after a time, where that is
// clearly below the level of a block; 0 where not. A runner stops at once, so the last
// seconds tell; the first ones of a section do not, since effort takes its time to rise.
func (s section) lastLevel(t, level float64) float64 {
	n := len(s.at)
	if n < lastSamples || s.at[n-1]-t > edgeS {
		return 0
	}
	if last := stats.Mean(s.value[n-lastSamples:]); last < float64(clearly*level) {
		return last
	}
	return 0
}

// easy reports whether the effort of a stretch is clearly below a level and
// neither rises nor falls: it is not the way up to a block or down from it.
func (s signal) easy(l stretch, level float64) bool {
	third := (l.endS - l.startS) / 3
	first, last := s.mean(l.startS, l.startS+third), s.mean(l.endS-third, l.endS)
	return l.mean < float64(easyLevel*level) && math.Abs(last-first) < float64(step*(first+last)/2)
}

// smooth is the median of a sample and its neighbours, so that one odd sample
// makes no edge.
func (s section) smooth(k int) float64 {
	if k == 0 || k == len(s.value)-1 {
		return s.value[k]
	}
	a, b, c := s.value[k-1], s.value[k], s.value[k+1]
	return max(min(a, b), min(max(a, b), c))
}

// alike are the spans whose lengths resemble each other: as many as can be within
// a ratio of sameLength of one of them, the longer ones where two groups have as
// many. Spans shorter than shortest do not count.
func alike(spans []span, shortest float64) []span {
	var best []span
	for _, centre := range spans {
		if centre.durationS() < shortest {
			continue
		}
		var group []span
		for _, s := range spans {
			if r := s.durationS() / centre.durationS(); r >= 1/sameLength && r <= sameLength &&
				s.durationS() >= shortest {
				group = append(group, s)
			}
		}
		if len(group) > len(best) || len(group) == len(best) && total(group) > total(best) {
			best = group
		}
	}
	return best
}

func total(spans []span) float64 {
	sum := 0.0
	for _, s := range spans {
		sum += s.durationS()
	}
	return sum
}

// medianLength is the median duration of spans, of which there is at least one.
func medianLength(spans []span) float64 {
	lengths := make([]float64, len(spans))
	for i, s := range spans {
		lengths[i] = s.durationS()
	}
	return stats.Median(lengths)
}

// medianLevel is the median level of spans, of which there is at least one.
func medianLevel(spans []span) float64 {
	levels := make([]float64, len(spans))
	for i, s := range spans {
		levels[i] = s.level
	}
	return stats.Median(levels)
}

// levels are the different means of the stretches long enough to be a level, the
// hardest first.
func levels(list []stretch) []float64 {
	var all []float64
	for _, s := range list {
		if s.durationS() >= flankS && s.mean > 0 {
			all = append(all, s.mean)
		}
	}
	stable.Sort(all, func(a, b float64) int {
		switch {
		case a > b:
			return -1
		case a < b:
			return 1
		}
		return 0
	})
	return slices.Compact(all)
}
