package app

import (
	"math"
	"strings"

	"soletrial/pipeline/recording/segment"
	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// propose fills the rows with blocks that were proposed already, else with those
// that changes of effort tell, and says what was held by what was recorded.
func (o *OwnRecording) propose(blocks string) {
	for _, line := range splitLines(blocks) {
		start, rest, _ := strings.Cut(line, ",")
		end, note, _ := strings.Cut(rest, ",")
		o.addBlock(start, end, note)
	}
	channel, recorded := segment.Effort(o.samples)
	if blocks == "" && recorded {
		_, stretches := segment.Cut(o.samples)
		for _, b := range segment.Propose(channel, stretches, trial.Session{}) {
			note := b.Note
			if b.Excluded {
				note += "; " + b.Reason
			}
			o.addBlock(FormatSeconds(b.Start), FormatSeconds(b.End), note)
		}
	}
	for len(o.Rows) < 2 {
		o.Rows = append(o.Rows, OwnBlock{})
	}
	o.Effort = trial.Power
	for _, effort := range trial.Efforts {
		if recorded && effortChannel[effort] == channel {
			o.Effort = effort
		}
	}
	o.proposeTarget()
}

// effortChannel is the channel that tells how an effort was held.
var effortChannel = map[trial.Effort]trial.Channel{trial.Power: trial.PowerW, trial.Pace: trial.SpeedMps,
	trial.HeartRate: trial.HeartRateBpm}

func (o *OwnRecording) addBlock(start, end, note string) {
	if len(o.Rows) == maxOwnBlocks {
		return
	}
	row, texts := OwnBlock{Note: note}, [OwnCells]string{OwnStart: start, OwnEnd: end}
	for cell, text := range texts {
		if at, err := units.ParseDecimal(text); err == nil {
			row.Cells[cell] = units.FormatClock(at)
		}
	}
	o.Rows = append(o.Rows, row)
}

// proposedBlocks is how many blocks have a beginning.
func (o *OwnRecording) proposedBlocks() (n int) {
	for _, row := range o.Rows {
		if row.Cells[OwnStart] != "" {
			n++
		}
	}
	return n
}

// proposeTarget writes the median of the blocks' means as what was held, where
// nothing is written. Differences between shoes hardly depend on it.
func (o *OwnRecording) proposeTarget() {
	var means []float64
	for _, row := range o.Rows {
		start, errStart := parseClock(row.Cells[OwnStart])
		end, errEnd := parseClock(row.Cells[OwnEnd])
		if mean := o.mean(effortChannel[o.Effort], start, end); errStart == nil && errEnd == nil && mean > 0 &&
			!strings.Contains(row.Note, "proposed: ") {
			means = append(means, mean)
		}
	}
	if len(means) == 0 || o.Target != "" {
		return
	}
	held := stats.Median(means)
	if o.Effort == trial.Pace {
		held = units.Pace(held)
	}
	o.Target = trial.FormatTarget(o.Effort, math.Round(held))
}

// mean is a channel's plain mean over a stretch, NaN where there is none.
func (o *OwnRecording) mean(channel trial.Channel, from, to float64) float64 {
	sum, n := 0.0, 0.0
	for i, v := range o.samples.Values[channel] {
		if at := o.samples.Elapsed[i]; at >= from && at < to && units.Known(v) {
			sum, n = sum+v, n+1
		}
	}
	return sum / n
}
