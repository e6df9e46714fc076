package fieldnotes

import (
	"fmt"
	"time"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// takeLog puts what a field log says among the notes, and its blocks into those that
// the session has. What is said on the command line goes before it.
func (r *Result) takeLog(log *trial.FieldLog, n *Notes) {
	r.Files[r.session.Folder()+"/"+plaintext.FieldLogFile] = plaintext.AppendFieldLog(nil, log)
	n.Conditions, _ = mergeConditions(log.Conditions, n.Conditions)
	if n.Sensor == "" {
		n.Sensor = log.Sensor
	}
	for _, s := range log.Shoes {
		if left, right := s.LeftG, s.RightG; units.Known(left) || units.Known(right) {
			if !units.Known(left) {
				left = right
			}
			if !units.Known(right) {
				right = left
			}
			weights := s.Shoe + "=" + units.FormatExact(left) + "/" + units.FormatExact(right)
			n.Weights = append([]string{weights}, n.Weights...)
		}
	}
	for _, d := range log.Deviations {
		n.Deviations = append(n.Deviations, deviationText(d))
	}
	r.logBlocks(log)
}

// deviationText is a deviation in words, as session.yaml lists it.
func deviationText(d trial.Deviation) string {
	block := "block " + d.Block
	switch d.Kind {
	case trial.Skipped:
		return fmt.Sprintf("%s was not run: %s", block, d.Reason)
	case trial.Repeated:
		return fmt.Sprintf("%s was run again: %s", block, d.Reason)
	case trial.Swapped:
		return fmt.Sprintf("%s was run in %s instead of %s: %s", block, d.Worn, d.Planned, d.Reason)
	case trial.Short:
		return fmt.Sprintf("%s ended early: %s", block, d.Reason)
	}
	return "the session ended early: " + d.Reason
}

// logBlocks writes what the log says of its blocks into the session's: the block that
// shares most of its time with one of the log is that one, or where the clocks are not
// tied, the one at the same place among as many.
func (r *Result) logBlocks(log *trial.FieldLog) {
	// Without blocks the log waits for its recording.
	blocks := r.session.Blocks
	if len(blocks) == 0 {
		r.remark("import the recording next: it brings the blocks of the log into blocks.csv")
		return
	}
	// The log wins over what stood there, and says so where they differ.
	matched := 0
	for i, l := range log.Blocks {
		at := r.blockAt(log, i)
		if at < 0 {
			r.remark("block %q of the log is not among those of %s", l.Block, r.session.Folder()+"/blocks.csv")
			continue
		}
		b := &blocks[at]
		if b.Shoe != "" && b.Shoe != l.Shoe {
			r.remark("the log says that block %q was run in %s; blocks.csv said %s", b.ID, l.Shoe, b.Shoe)
		}
		b.Shoe = l.Shoe
		for _, pair := range []struct{ into, from *float64 }{
			{&b.RPE, &l.RPE}, {&b.ComfortMm, &l.ComfortMm}, {&b.Laps, &l.Laps}, {&b.DistanceM, &l.DistanceM},
		} {
			if units.Known(*pair.from) {
				*pair.into = *pair.from
			}
		}
		if l.Note != "" {
			b.Note = l.Note
		}
		if l.Excluded != "" {
			b.Excluded, b.Reason = true, l.Excluded
		}
		matched++
	}
	r.fromLog = matched > 0
	r.remark("%d of %s of the log matched", matched, units.Count(len(log.Blocks), "block"))
}

// blockAt is the index of the session's block that is the i-th of the log, -1 for none.
func (r *Result) blockAt(log *trial.FieldLog, i int) int {
	facts := &r.session.Facts
	start, err := time.Parse("2006-01-02 15:04:05Z07:00", facts.Date+" "+facts.Start)
	from, errFrom := time.Parse(time.RFC3339, log.Blocks[i].Start)
	to, errTo := time.Parse(time.RFC3339, log.Blocks[i].End)
	if err == nil && errFrom == nil && errTo == nil {
		at, most := -1, 0.0
		for k, b := range r.session.Blocks {
			shared := min(b.End, to.Sub(start).Seconds()) - max(b.Start, from.Sub(start).Seconds())
			if shared > most && shared >= b.Duration()/2 {
				at, most = k, shared
			}
		}
		if at >= 0 {
			return at
		}
	}
	if len(log.Blocks) == len(r.session.Blocks) {
		return i
	}
	return -1
}
