package steady

import (
	"math"
	"slices"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// HeartSlopeS is the length of the last part of a heart-rate window over which its
// slope is taken, s.
const HeartSlopeS = 120

// effortChannel returns the channel that measures an effort.
func effortChannel(effort trial.Effort) trial.Channel {
	switch effort {
	case trial.Power:
		return trial.PowerW
	case trial.HeartRate:
		return trial.HeartRateBpm
	}
	return trial.SpeedMps
}

// steadiness fills how even the effort was in its window, and how settled
// the heart rate at the end of its own.
func (c *cutter) steadiness(b *trial.Block, s *Summary) {
	s.EffortCVPct, s.EffortChangePct, s.HeartSlope = units.Missing, units.Missing, units.Missing
	channel := effortChannel(c.session.Effort())
	if t := c.tracks[channel]; t != nil {
		from, to := s.windowOf(channel)
		line := t.line(from, to)
		s.EffortCVPct = float64(100*line.sd) / line.mean
		s.EffortChangePct = float64(100*line.slope*(to-from)) / line.mean
	}
	if t := c.tracks[trial.HeartRateBpm]; t != nil {
		if from, to := s.HeartFrom, s.HeartTo; to-from >= HeartSlopeS/2 {
			s.HeartSlope = float64(60 * t.line(math.Max(from, to-HeartSlopeS), to).slope)
		}
	}
}

// line is a straight line through samples, each weighted by the time it stands
// for. Without spread in time, all are missing.
type line struct{ mean, sd, slope float64 }

// line fits samples in [from, to) of session time: mean, standard deviation about
// it, and least-squares slope per second.
func (t *track) line(from, to float64) line {
	from, to = from-t.offset, to-t.offset
	first, _ := slices.BinarySearch(t.elapsed, from)
	// Join the sums of runs of samples; those wholly inside are kept for the next question.
	var m moments
	end := 0
	for i := first; i < len(t.elapsed) && t.elapsed[i] < to; i = end {
		end = t.upTo(i)
		if r := t.inside(i, from, to); r != nil {
			if !r.fitted {
				r.fitted, r.moments = true, t.fit(i, end, to)
			}
			m.join(&r.moments, t.elapsed[i]-from)
			continue
		}
		part := t.fit(i, end, to)
		m.join(&part, t.elapsed[i]-from)
	}
	// Least squares from the sums: slope = Sxy / Sxx.
	spread := m.xx - float64(m.x*m.x)/m.w
	if !(spread > 0) {
		return line{units.Missing, units.Missing, units.Missing}
	}
	return line{
		mean:  t.origin() + m.y/m.w,
		sd:    math.Sqrt(math.Max(0, m.yy-float64(m.y*m.y)/m.w) / m.w),
		slope: (m.xy - float64(m.x*m.y)/m.w) / spread,
	}
}
