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
// that is better than any lap. Where the blocks that effort shows are all off by the
// same time, the clocks differ by that. It is false where no clock ties the log to
// the recordings.
func (in *Import) blocksOfLog(log *trial.FieldLog) ([]trial.Block, bool) {
	start, ok := in.startTime()
	if !ok {
		return nil, false
	}
	var blocks []trial.Block
	for _, l := range log.Blocks {
		from, errFrom := time.Parse(time.RFC3339, l.Start)
		to, errTo := time.Parse(time.RFC3339, l.End)
		if errFrom != nil || errTo != nil {
			continue // was still running when the log was written
		}
		b := trial.Block{
			ID: l.Block, Shoe: l.Shoe, Start: milliseconds(from.Sub(start)), End: milliseconds(to.Sub(start)),
			Target: units.Missing, DistanceM: l.DistanceM, Laps: l.Laps, RPE: l.RPE, ComfortMm: l.ComfortMm,
			Note: l.Note, Excluded: l.Excluded != "", Reason: l.Excluded,
		}
		for m := range b.Measured {
			b.Measured[m] = units.Missing
		}
		blocks = append(blocks, b)
	}
	if ahead, sure := in.clockDifference(blocks); sure {
		in.remark(
			"the clock of the field log is %.0f s %s that of the recording, as effort shows: its blocks were moved",
			math.Abs(ahead), map[bool]string{true: "ahead of", false: "behind"}[ahead > 0])
		for i := range blocks {
			blocks[i].Start -= ahead
			blocks[i].End -= ahead
		}
	}
	return blocks, len(blocks) > 0
}

// clockDifference is by how much the log's blocks are later than those found by
// effort: the median over blocks, where most of them agree.
func (in *Import) clockDifference(blocks []trial.Block) (ahead float64, sure bool) {
	var later []float64
	for _, b := range blocks {
		nearest := units.Missing
		for _, f := range in.Found.Blocks {
			if d := b.Start - f.StartS; math.Abs(d) <= maxClockS && !(math.Abs(d) >= math.Abs(nearest)) {
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
	return math.Round(ahead), math.Abs(ahead) > worthClockS
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
