package align

import (
	"fmt"
	"strings"

	"soletrial/pipeline/trial"
)

// The limits of the search. Engineering choices, no source, tried on a pair of
// watches worn in one run and on invented pairs; see the tests.
const (
	// SearchS is how far the offset is searched to both sides of the stated one.
	SearchS = 600
	// MinOverlapS is how many seconds both recordings must hold a value of the
	// channel at an offset for it to be considered; half of what the shorter
	// recording holds is wanted too.
	MinOverlapS = 300
	// MinPeak is the correlation below which a match is refused.
	MinPeak = 0.5
	// MinContrast is how many times the variance left unexplained at the next
	// best offset, 1-r², must exceed that at the best; at least MinUnexplained
	// counts as unexplained, since no two devices agree better by right.
	MinContrast    = 1.25
	MinUnexplained = 0.05
	// MaxStandardErrorS is the largest standard error of a match.
	MaxStandardErrorS = 0.5
	// LagAllowanceS is by how much the offset of a channel may differ from that of
	// the clocks: the cadences of two watches whose clocks were both set by
	// satellite have been seen 2.3 s apart.
	LagAllowanceS = 5
)

// channels lists what two recordings are matched by, in the order of preference:
// cadence changes within a stride, heart rate takes half a minute. With each, in
// its own unit, the standard deviation below which it is steady, and the least
// that is taken for its usual one.
var channels = []struct {
	channel     trial.Channel
	flat, grain float64
}{{trial.CadenceSpm, 0.2, 1}, {trial.SpeedMps, 0.02, 0.1}, {trial.HeartRateBpm, 0.2, 1}}

// Match is how the clock of one recording follows that of another.
type Match struct {
	Channel trial.Channel
	// OffsetS is to be added to the elapsed seconds of the other recording to get
	// those of the first, in the middle of what they share; StandardErrorS is its
	// standard error from the scatter between parts of the run, which knows
	// nothing of a lag that all parts have in common.
	OffsetS, StandardErrorS float64
	// Peak is the correlation there, RunnerUp the highest one at any other offset
	// and RunnerUpS that offset.
	Peak, RunnerUp, RunnerUpS float64
	// DriftPpm is by how many microseconds per second the offset grows: the other
	// clock is slow where it is positive.
	DriftPpm, DriftStandardError float64
	OverlapS                     float64 // seconds of the channel in both recordings
	Parts                        int     // parts of the run that DriftPpm is from
	Refused                      []Reason
}

// Reason is why a channel gave no match.
type Reason struct {
	Channel trial.Channel
	Text    string
}

// Refusal is the error of recordings that cannot be matched.
type Refusal struct{ Reasons []Reason }

// Error lists the reasons by channel.
func (r *Refusal) Error() string {
	if len(r.Reasons) == 0 {
		return "the recordings share neither cadence nor speed nor heart rate"
	}
	var texts []string
	for _, reason := range r.Reasons {
		texts = append(texts, reason.Channel.Info().Label+": "+reason.Text)
	}
	return strings.Join(texts, "; ")
}

// Find matches other to first by the first shared channel that leaves no doubt;
// the channels before it are in Match.Refused. around is the offset to search
// about. The error is a [*Refusal].
func Find(first, other *trial.Samples, around float64) (Match, error) {
	var refused []Reason
	for _, c := range channels {
		if !first.Has(c.channel) || !other.Has(c.channel) {
			continue
		}
		m, reason := matchBy(c.channel, c.flat, c.grain, first, other, around)
		if reason == "" {
			m.Refused = refused
			return m, nil
		}
		refused = append(refused, Reason{c.channel, reason})
	}
	return Match{}, &Refusal{refused}
}

// matchBy matches by one channel, or says why not.
func matchBy(c trial.Channel, flat, grain float64, first, other *trial.Samples, around float64) (Match, string) {
	a, b := newSignal(first, c, grain), newSignal(other, c, grain)
	for _, s := range []signal{a, b} {
		if s.spread() < flat {
			return Match{}, fmt.Sprintf(
				"steady in one of the recordings (its standard deviation over two minutes is below %.2g %s)",
				flat, c.Info().Unit)
		}
	}
	curve := correlate(a, b, around)
	peak, reason := curve.peak()
	if reason != "" {
		return Match{}, reason
	}
	m := Match{Channel: c, OffsetS: peak.at, Peak: peak.height, OverlapS: float64(pairs(a, b, peak.lag))}
	m.RunnerUp, m.RunnerUpS = curve.runnerUp(peak.lag)
	if reason := m.doubt(); reason != "" {
		return Match{}, reason
	}
	return m, m.follow(a, b, peak.lag)
}

// doubt says why the highest peak may not be the right one.
func (m *Match) doubt() string {
	if m.Peak < MinPeak {
		return fmt.Sprintf("the best correlation is %.2f at %.0f s, below %.2g", m.Peak, m.OffsetS, MinPeak)
	}
	if left := unexplained(m.RunnerUp) / unexplained(m.Peak); left < MinContrast {
		return fmt.Sprintf("two offsets fit about as well: %.1f s (correlation %.3f) and %.0f s (%.3f)",
			m.OffsetS, m.Peak, m.RunnerUpS, m.RunnerUp)
	}
	return ""
}

// unexplained is the share of the variance that a correlation leaves.
func unexplained(r float64) float64 {
	r = max(r, 0)
	return max(1-float64(r*r), MinUnexplained)
}
