package intake

import (
	"math"
	"time"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// How far the clock of a phone may be from that of a recording, and how well the
// blocks must agree on it. Engineering choices.
const (
	maxClockS   = 180 // between a block of the log and the one that was found
	agreeS      = 15  // between the blocks
	worthClockS = 2   // a smaller difference is the finger on the button
)

// blocksOfLog are the blocks as they were noted at the venue, on the session's clock:
// that is better than any lap. They are timed by the stopwatch, which no change of the
// phone's clock touches. Where the blocks that effort shows are all off by the same
// time, the clocks differ by that. It is false where no clock ties the log to the
// recordings.
func (in *Import) blocksOfLog(log *trial.FieldLog) ([]trial.Block, bool) {
	start, ok := in.startTime()
	began, err := time.Parse(time.RFC3339, log.Began)
	if !ok || err != nil {
		return nil, false
	}
	var blocks []trial.Block
	zero := milliseconds(began.Sub(start))
	for _, l := range log.Blocks {
		if !units.Known(l.EndS) {
			continue // was still running when the log was written
		}
		b := trial.Block{
			ID: l.Block, Shoe: l.Shoe, Start: zero + l.StartS, End: zero + l.EndS,
			Target: units.Missing, DistanceM: l.DistanceM, Laps: l.Laps, RPE: l.RPE, ComfortMm: l.ComfortMm,
			Note: l.Note, Excluded: l.Excluded != "", Reason: l.Excluded,
		}
		for m := range b.Measured {
			b.Measured[m] = units.Missing
		}
		blocks = append(blocks, b)
	}
	ahead := in.clockAhead(blocks, log.ClockShifts())
	for i := range blocks {
		blocks[i].Start -= ahead
		blocks[i].End -= ahead
	}
	return blocks, len(blocks) > 0
}

// clockAhead is by how much the log's blocks are to be moved back, and says so. The
// phone's clock may have been set during the session; nobody knows which of its times
// was right, so the one that fits the recording best is taken.
func (in *Import) clockAhead(blocks []trial.Block, shifts []float64) float64 {
	best, shift := math.Inf(1), 0.0
	for _, s := range shifts {
		if ahead, sure := in.clockDifference(blocks, s); sure && math.Abs(ahead) < math.Abs(best) {
			best, shift = ahead, s
		}
	}
	if shift != 0 {
		in.remark("the phone's clock was changed by %+.0f s during the session; the effort shows that its later "+
			"time is right",
			shift)
	}
	switch {
	case math.IsInf(best, 0):
		return 0
	case math.Abs(best) <= worthClockS:
		return -shift
	}
	in.remark("the clock of the field log is %.0f s %s that of the recording, as the effort shows; its blocks were "+
		"moved",
		math.Abs(best), map[bool]string{true: "ahead of", false: "behind"}[best > 0])
	return best - shift
}

// clockDifference is by how much the log's blocks, moved by a shift, are later than
// those found by effort: the median over blocks, where most of them agree.
func (in *Import) clockDifference(blocks []trial.Block, shift float64) (ahead float64, sure bool) {
	var later []float64
	for _, b := range blocks {
		nearest := units.Missing
		for _, f := range in.Found.Blocks {
			d := b.Start + shift - f.StartS
			if math.Abs(d) <= maxClockS && !(math.Abs(d) >= math.Abs(nearest)) {
				nearest = d
			}
		}
		if units.Known(nearest) {
			later = append(later, nearest)
		}
	}
	if len(later) < 2 || 2*len(later) < len(blocks) {
		return 0, false
	}
	ahead = stats.Median(later)
	for _, d := range later {
		if math.Abs(d-ahead) > agreeS {
			return 0, false
		}
	}
	return math.Round(ahead), true
}

// startTime is when the session's clock reads 0, false where the offset from UTC is
// not known.
func (in *Import) startTime() (time.Time, bool) {
	if !in.start.IsZero() {
		return in.start, true
	}
	facts := &in.Session.Facts
	for _, layout := range []string{startLayout, "15:04Z07:00"} {
		if at, err := time.Parse(DateLayout+" "+layout, facts.Date+" "+facts.Start); err == nil {
			return at, true
		}
	}
	return time.Time{}, false
}
