package plan

import (
	"math"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/units"
)

// Spread is how much a shoe's result varies by itself, in percent.
type Spread struct {
	BlockPct   float64 // from block to block within a session, standard deviation
	SessionPct float64 // of a shoe from session to session beyond that
	Own        bool    // from this dataset, else Source says where from
	Source     string
}

// Literature is the spread where the dataset has none of its own: the ends of the
// typical error of running economy in well-trained runners, 0.7-1.4 %. No
// published spread of one shoe from day to day was found; the lower end stands in.
var Literature = Spread{
	BlockPct: 1.4, SessionPct: 0.7,
	Source: "typical error of running economy of well-trained runners, 0.7-1.4 % (Zanini 2025, doi " +
		"10.1111/sms.70080): the upper end for blocks; no published spread of a shoe from day to day was found, the " +
		"lower end stands in",
}

// perSession is the standard deviation of the difference between two shoes in a
// session with the given blocks of each, percent: sqrt(2 (session^2 + block^2/n)).
func (s Spread) perSession(blocksEach float64) float64 {
	return math.Sqrt(float64(2 * (float64(s.SessionPct*s.SessionPct) + float64(s.BlockPct*s.BlockPct)/blocksEach)))
}

// Pairs returns how many blocks of each of two shoes tell a difference apart with
// the given power at the given two-sided level, were there no spread from session
// to session: pairs of blocks, t test of their differences. +Inf for none.
func (s Spread) Pairs(differencePct, power, alpha float64) float64 {
	return ceil(stats.NeededN(stats.Pairs, differencePct/float64(s.BlockPct*math.Sqrt2), power, alpha))
}

// Sessions returns how many sessions with the given blocks of each of two shoes
// tell a difference apart, each session giving one difference.
func (s Spread) Sessions(differencePct float64, blocksEach int, power, alpha float64) float64 {
	return ceil(stats.NeededN(stats.Pairs, differencePct/s.perSession(float64(blocksEach)), power, alpha))
}

// ceil rounds up, but not for the last digits of a root that was searched for.
func ceil(n float64) float64 { return math.Ceil(n - 1e-9) }

// HalfWidth returns half the width that the interval of a difference between two
// shoes is expected to have after some sessions, percent: t with sessions - 1
// degrees of freedom times the standard error. Missing below two sessions: how a
// difference varies from day to day cannot be seen on one day.
func (s Spread) HalfWidth(sessions, blocksEach int, confidence float64) float64 {
	if sessions < 2 {
		return units.Missing
	}
	n := float64(sessions)
	return float64(stats.StudentQuantile((1+confidence)/2, n-1)*s.perSession(float64(blocksEach))) / math.Sqrt(n)
}

// SessionsTo returns the fewest sessions, two at least, whose interval is expected
// to reach half the given width to either side; limit where that many do not.
func (s Spread) SessionsTo(halfWidthPct float64, blocksEach int, confidence float64, limit int) int {
	for n := 2; n < limit; n++ {
		if s.HalfWidth(n, blocksEach, confidence) <= halfWidthPct {
			return n
		}
	}
	return limit
}

// SampleSize is how much running a difference takes.
type SampleSize struct {
	DifferencePct          float64
	Pairs80, Pairs90       float64 // blocks of each shoe within one day
	Sessions80, Sessions90 float64
}

// Table lists what the given differences take, at the level that goes with the
// confidence.
func (s Spread) Table(differencesPct []float64, blocksEach int, confidence float64) []SampleSize {
	alpha := 1 - confidence
	var list []SampleSize
	for _, x := range differencesPct {
		list = append(list, SampleSize{x, s.Pairs(x, 0.8, alpha), s.Pairs(x, 0.9, alpha),
			s.Sessions(x, blocksEach, 0.8, alpha), s.Sessions(x, blocksEach, 0.9, alpha)})
	}
	return list
}

// StopByPrecision says when to stop, and why not otherwise.
const StopByPrecision = "Stop when the interval is narrow enough to decide by, whichever way it points, and say " +
	"before you start how narrow that is. " +
	"Do not stop because a p value has come out small: looked at after every session, one falls below 5 % by chance " +
	"far more often than one time in twenty, " +
	"and a difference found that way is too large on average."
