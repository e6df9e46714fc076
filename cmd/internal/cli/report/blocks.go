package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/recording/segment"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// The part of a block whose means the table shows, where the block is long enough:
// without the start, in which the effort is still rising, and the last seconds.
const (
	tableHeadS = 60
	tableTailS = 15
	tableMinS  = 150
)

// PrintBlocks prints blocks as a table, with what was recorded of them, and a trace
// of the effort with their marks below.
func PrintBlocks(console *voice.Console, blocks []trial.Block, e segment.Evidence, by trial.Channel) {
	if len(blocks) == 0 || e.Samples == nil {
		return
	}
	rows := [][]string{{"block", "start", "length", "pace", "power", "heart rate", "shoe"}}
	for _, b := range blocks {
		// Means without the ends, where speed and heart rate still follow the effort.
		from, to := b.Start, b.End
		if b.Duration() >= tableMinS {
			from, to = from+tableHeadS, to-tableTailS
		}
		speed := segment.Mean(e.Samples, trial.SpeedMps, from, to)
		shoe := b.Shoe
		if b.Excluded {
			shoe += " (excluded)"
		}
		rows = append(rows, []string{
			b.ID, units.FormatClock(math.Round(b.Start)), units.FormatClock(math.Round(b.Duration())),
			orBlank(units.FormatPace(1000/speed), "/km"),
			orBlank(units.FormatDecimal(segment.Mean(e.Samples, trial.PowerW, from, to), 0), " W"),
			orBlank(units.FormatDecimal(segment.Mean(e.Samples, trial.HeartRateBpm, from, to), 0), " bpm"), shoe,
		})
	}
	for _, line := range columns(rows) {
		console.Printf("%s\n", line)
	}
	for _, line := range trace(blocks, e, by) {
		console.Printf("%s\n", line)
	}
}

func orBlank(number, unit string) string {
	if number == "" {
		return ""
	}
	return number + unit
}

// columns lines rows up, and leaves out columns that hold nothing but their heading.
func columns(rows [][]string) []string {
	widths := make([]int, len(rows[0]))
	for c := range widths {
		for r, row := range rows {
			if r > 0 && row[c] != "" {
				widths[c] = max(widths[c], len([]rune(row[c])), len(rows[0][c]))
			}
		}
	}
	lines := make([]string, len(rows))
	for r, row := range rows {
		var line strings.Builder
		for c, cell := range row {
			if widths[c] > 0 {
				fmt.Fprintf(&line, "  %-*s", widths[c], cell)
			}
		}
		lines[r] = strings.TrimRight(line.String(), " ")
	}
	return lines
}

// traceWidth is how many letters the trace takes.
const traceWidth = 72

var bars = []rune(" ▁▂▃▄▅▆▇█")

// trace draws the effort over the whole recording in one line of bars, and the
// numbers of the blocks below it.
func trace(blocks []trial.Block, e segment.Evidence, by trial.Channel) []string {
	// The mean effort of each column of the line, from the first to the last sample or block.
	t := e.Samples.Elapsed
	from, to := slices.Min(t), slices.Max(t)
	from, to = min(from, blocks[0].Start), max(to, blocks[len(blocks)-1].End)
	if !(to > from) {
		return nil
	}
	step := (to - from) / traceWidth
	levels, most := make([]float64, traceWidth), 0.0
	for i := range levels {
		start := from + float64(step*float64(i))
		levels[i] = segment.Mean(e.Samples, by, start, start+step)
		if units.Known(levels[i]) {
			most = max(most, levels[i])
		}
	}
	// A bar for each, and under it a dash where a block runs, with the block's name in its middle.
	bar, marks := make([]rune, traceWidth), []rune(strings.Repeat(" ", traceWidth))
	for i, v := range levels {
		bar[i] = ' '
		if units.Known(v) && most > 0 {
			bar[i] = bars[min(len(bars)-1, int(math.Round(v/most*float64(len(bars)-1))))]
		}
	}
	for _, b := range blocks {
		first, last := int((b.Start-from)/step), min(traceWidth-1, int((b.End-from)/step))
		for i := first; i <= last; i++ {
			marks[i] = '-'
		}
		name := []rune(b.ID)
		for k, r := range name {
			if at := (first+last-len(name)+1)/2 + k; at >= 0 && at < traceWidth {
				marks[at] = r
			}
		}
	}
	return []string{
		"  " + string(bar) + "  " + by.Info().Label, "  " + strings.TrimRight(string(marks), " ") + "  blocks",
	}
}
