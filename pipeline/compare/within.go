package compare

import (
	"cmp"
	"slices"

	"soletrial/pipeline/parallel"
	"soletrial/pipeline/units"
)

// withinSessions compares within each session by itself, in the outcomes that
// decide, and puts the estimates to date beside.
func (a *analysis) withinSessions(groups []comparedGroup, toDate map[point][]Comparison,
	workers int) []SessionComparison {
	sessions := parallel.Map(workers, len(a.index.sessions), func(session int) []SessionComparison {
		var list []SessionComparison
		for k := range groups {
			g := &groups[k]
			at, found := g.spanOf(session)
			if !g.decides || !found {
				continue
			}
			here := g.with(g.rows[g.sessionSpans[at].from:g.sessionSpans[at].to])
			for n, own := range a.comparisons(here, a.index.pairs(here.shoes()), full) {
				c := SessionComparison{Session: a.index.sessions[session], Date: here.rows[0].Date, Comparison: own}
				c.ToDate, c.ToDateLow, c.ToDateHigh = units.Missing, units.Missing, units.Missing
				if known := toDate[point{k, at}]; known != nil {
					c.ToDate, c.ToDateLow, c.ToDateHigh = known[n].Estimate, known[n].Low, known[n].High
				}
				list = append(list, c)
			}
		}
		return sortedBy(list, func(c, d *SessionComparison) int { return c.compare(&d.Comparison) })
	})
	return slices.Concat(sessions...)
}

// spanOf finds a session's rows.
func (c *comparedGroup) spanOf(session int) (at int, found bool) {
	return slices.BinarySearchFunc(c.sessionSpans, session,
		func(s span, session int) int { return cmp.Compare(s.session, session) })
}

// point is a session in a group: all sessions up to it are compared together.
type point struct{ group, span int }

// maxProgressPoints is about how many points are calculated for each level: all of
// them for few sessions, evenly spread ones and the last for many.
const maxProgressPoints = 60

// progressAt lists after which of n sessions, from 0, the progress is calculated.
func progressAt(n int) (at []int) {
	stride := (n + maxProgressPoints - 1) / maxProgressPoints
	for i := range n {
		if (n-1-i)%stride == 0 {
			at = append(at, i)
		}
	}
	return at
}

// progress compares, in the outcomes that decide, all sessions up to each of some,
// in the pairs of the shoes of the last of them.
func (a *analysis) progress(groups []comparedGroup, workers int) map[point][]Comparison {
	var points []point
	for k := range groups {
		if !groups[k].decides {
			continue
		}
		for _, i := range progressAt(len(groups[k].sessionSpans)) {
			points = append(points, point{k, i})
		}
	}
	compared := parallel.Map(workers, len(points), func(i int) []Comparison {
		g := &groups[points[i].group]
		last := g.sessionSpans[points[i].span]
		shoes := g.with(g.rows[last.from:last.to]).shoes()
		return a.comparisons(g.with(g.rows[:last.to]), a.index.pairs(shoes), estimateOnly)
	})
	toDate := make(map[point][]Comparison, len(points))
	for i, p := range points {
		toDate[p] = compared[i]
	}
	return toDate
}
