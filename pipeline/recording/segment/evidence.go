package segment

import (
	"strconv"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Evidence is what is known of a session when its blocks are to be found. All
// times are seconds on one clock. Only the samples are needed.
type Evidence struct {
	Samples *trial.Samples
	Laps    []trial.Lap
	Pauses  []trial.Pause

	Effort     trial.Effort // what was held; "" where nobody said
	Target     float64      // watts, seconds per km or bpm; missing or 0 where nobody said
	BlockS     float64      // length of a block as planned, seconds; missing or 0 where nobody said
	Count      int          // how many blocks were run; 0 where nobody said
	IgnoreLaps bool         // a person says that the laps do not tell
}

// Found is a block that was found, on the clock of the evidence.
type Found struct {
	StartS, EndS float64
	Mean         float64 // of the proposal's channel over the block, in its unit
	// StartLap and EndLap are the laps that start and end with the block, counted
	// from 1; 0 where no press of the lap button tells the edge.
	StartLap, EndLap int
}

// Proposal is what a session's blocks probably are.
type Proposal struct {
	Blocks    []Found       // in time order, not overlapping
	Channel   trial.Channel // that told the effort
	Laps      int           // how many edges of blocks were taken from laps
	Automatic int           // how many laps were ignored because the device made them by itself
	Effort    trial.Effort  // what was held, as given or as it looks; "" where nothing tells
	Target    float64       // its target, as given or the median of the blocks; missing where nothing tells
}

// Rows are the blocks as rows of blocks.csv, numbered from 1, with shoes left
// blank for a person to fill. The note says how each was found.
func (p Proposal) Rows() []trial.Block {
	rows := make([]trial.Block, len(p.Blocks))
	for i, f := range p.Blocks {
		b := trial.Block{
			ID:        strconv.Itoa(i + 1),
			Start:     f.StartS,
			End:       f.EndS,
			Target:    units.Missing,
			DistanceM: units.Missing,
			Laps:      units.Missing,
			RPE:       units.Missing,
			ComfortMm: units.Missing,
			Note:      p.note(f),
		}
		for m := range b.Measured {
			b.Measured[m] = units.Missing
		}
		rows[i] = b
	}
	return rows
}

// note says how a block was found.
func (p Proposal) note(f Found) string {
	by := "found by " + p.Channel.Info().Label + ", " + withUnit(p.Channel, f.Mean)
	switch {
	case f.StartLap > 0 && f.StartLap == f.EndLap:
		return "lap " + strconv.Itoa(f.StartLap)
	case f.StartLap > 0 && f.EndLap > 0:
		return "laps " + strconv.Itoa(f.StartLap) + " to " + strconv.Itoa(f.EndLap)
	case f.StartLap > 0:
		return "start of lap " + strconv.Itoa(f.StartLap) + ", end " + by
	case f.EndLap > 0:
		return "end of lap " + strconv.Itoa(f.EndLap) + ", start " + by
	}
	return by
}

func withUnit(c trial.Channel, v float64) string {
	info := c.Info()
	return units.FormatDecimal(v, min(info.Decimals, 2)) + " " + info.Unit
}
