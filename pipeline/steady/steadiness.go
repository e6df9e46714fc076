package steady

import (
	"math"
	"slices"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// SettleS is the length of the last part of a heart-rate window over which its
// slope is taken, s.
const SettleS = 120

// heldChannel returns the channel that an effort holds.
func heldChannel(effort trial.Effort) trial.Channel {
	switch effort {
	case trial.Power:
		return trial.PowerW
	case trial.HeartRate:
		return trial.HeartRateBpm
	}
	return trial.SpeedMps
}

// steadiness fills how even the held effort was in its window, and how settled
// the heart rate at the end of its own.
func (c *cutter) steadiness(b *trial.Block, s *Summary) {
	s.HeldCVPct, s.HeldChangePct, s.HeartSlope = units.Missing, units.Missing, units.Missing
	held := heldChannel(c.session.Effort())
	if t := c.tracks[held]; t != nil {
		from, to := c.trim.Trimmed(b.Start, b.End, held == trial.HeartRateBpm)
		line := t.line(from, to)
		s.HeldCVPct = float64(100*line.sd) / line.mean
		s.HeldChangePct = float64(100*line.slope*(to-from)) / line.mean
	}
	if t := c.tracks[trial.HeartRateBpm]; t != nil {
		if from, to := c.trim.Trimmed(b.Start, b.End, true); to-from >= SettleS/2 {
			s.HeartSlope = float64(60 * t.line(math.Max(from, to-SettleS), to).slope)
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
	// Sums about the first value and the start keep their digits.
	var w, x, y, xx, xy, yy, origin float64
	for i := first; i < len(t.elapsed) && t.elapsed[i] < to; i++ {
		value, at := t.values[i], t.elapsed[i]
		if !known(value) {
			continue
		}
		if w == 0 {
			origin = value
		}
		stands := max(0, min(t.stands[i], to-at))
		dx, dy := at+stands/2-from, value-origin
		w += stands
		x += float64(stands * dx)
		y += float64(stands * dy)
		xx += float64(stands * dx * dx)
		xy += float64(stands * dx * dy)
		yy += float64(stands * dy * dy)
	}
	spread := xx - float64(x*x)/w
	if !(spread > 0) {
		return line{units.Missing, units.Missing, units.Missing}
	}
	return line{
		mean: origin + y/w, sd: math.Sqrt(math.Max(0, yy-float64(y*y)/w) / w), slope: (xy - float64(x*y)/w) / spread,
	}
}
