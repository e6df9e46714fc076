package figure

import (
	"math"

	"soletrial/pipeline/units"
)

// Trace shows one channel of a session: the blocks laid over each other from
// block start, with the steady window shaded. Small multiples are several of
// them with the same Span.
type Trace struct {
	Head
	Axis     string     // channel and unit
	Clock    string     // what the time axis counts; "" for minutes and seconds from block start
	Span     float64    // seconds shown, the longest block
	From, To float64    // steady window in seconds from block start; missing for none
	View     [2]float64 // stretch that [Trace.SVG] draws, seconds; the zero value for all
	Lines    []TraceLine
}

// TraceLine is one block. Seconds count from block start; a missing value or a
// step longer than Gap (or backwards) parts the line.
type TraceLine struct {
	Shoe            int
	Seconds, Values []float64
	Gap             float64
	Excluded        bool
}

const (
	traceHeight = 210.0
	traceLeft   = 44.0
	traceTop    = 26.0
	traceBottom = traceHeight - 40
)

// SVG draws the panel.
func (t Trace) SVG(width Width) []byte {
	c := begin(t.Head, width, traceHeight)
	shown, all := t.extent()
	x := scale{0, math.Max(t.Span, 1), traceLeft, float64(width) - 8}
	if t.View[1] > t.View[0] {
		x.lo, x.hi = t.View[0], t.View[1]
	}
	y := scale{shown.low, shown.high, traceBottom, traceTop}
	decimals := t.frame(c, x, y)
	t.plot(c, x, y, true)
	c.beyond(shown, all, traceHeight-3, decimals)
	return c.end()
}

// plot draws the steady window and the lines over it, each with its shoe's dashes where
// shoes share the panel.
func (t Trace) plot(c *canvas, x, y scale, dashes bool) {
	if from, to := math.Max(t.From, x.lo), math.Min(t.To, x.hi); to > from {
		c.rect("steady", x.at(from), y.to, x.at(to)-x.at(from), y.from-y.to).num("fill-opacity", 0.08).selfClose()
	}
	c.window(x, y)
	for _, line := range t.Lines {
		c.trace(line, x, y, t.column(x), dashes)
	}
	c.close("svg")
}

// panelPoints is about how many points a panel draws. Of every column only the
// lowest and the highest sample of a line are drawn, and the columns are as wide as
// that takes: the more lines lie over each other, the less of each can be seen.
const panelPoints = 400

// column is the width of the columns in units.
func (t Trace) column(x scale) float64 {
	return math.Max(2, float64(2*(x.to-x.from)*float64(len(t.Lines)))/panelPoints)
}

// window opens a part of the figure that hides what is drawn outside it and counts
// from its own corner.
func (c *canvas) window(x, y scale) {
	width, height := x.to-x.from, y.from-y.to
	c.tag("svg").num("x", x.from).num("y", y.to).num("width", width).num("height", height).
		raw(` viewBox="0 0 `)
	c.point(width, height).raw(`"`).attr("overflow", "hidden")
	c.attr("fill", "none").attr("stroke", "currentColor").num("stroke-width", 1.2).attr("stroke-linejoin", "round").
		attr("stroke-linecap", "round").content()
}

// bounds is a range of values; low above high for none.
type bounds struct{ low, high float64 }

func (b *bounds) take(v float64) {
	if v < b.low {
		b.low = v
	}
	if v > b.high {
		b.high = v
	}
}

// extent returns the range to draw and the range of all values. What is drawn
// holds every value of the steady window; a start from standing or a last sample
// after the stop would squeeze it, and goes on beyond the edge, in numbers.
func (t Trace) extent() (shown, all bounds) {
	none := bounds{math.Inf(1), math.Inf(-1)}
	shown, all = none, none
	for _, line := range t.Lines {
		for i, v := range line.Values {
			all.take(v)
			if s := line.Seconds[i]; s >= t.From && s <= t.To {
				shown.take(v)
			}
		}
	}
	if all.low > all.high {
		return bounds{0, 1}, bounds{0, 1}
	}
	if shown.low > shown.high {
		shown = all
	}
	spare := float64((shown.high - shown.low) / 2)
	shown.low, shown.high = math.Max(all.low, shown.low-spare), math.Min(all.high, shown.high+spare)
	margin := math.Max((shown.high-shown.low)/25, math.Abs(shown.high)/1000)
	if margin == 0 {
		margin = 1
	}
	return bounds{shown.low - margin, shown.high + margin}, all
}

// trace draws one block as a single path.
func (c *canvas) trace(line TraceLine, x, y scale, column float64, dashes bool) {
	c.tag("path").attr("class", "trace "+ColourClass(line.Shoe)).attr("color", colour(line.Shoe))
	if line.Excluded {
		c.num("stroke-width", 0.7).num("stroke-opacity", 0.6)
	}
	if dashes {
		c.dashed(line.Shoe)
	}
	c.raw(` d="`)
	for _, run := range line.runs() {
		c.polyline(line, line.thin(run, x, column), x, y)
	}
	c.raw(`"`).selfClose()
}

// runs returns the stretches [from, to) of the line that have no gap in them.
func (l TraceLine) runs() [][2]int {
	var runs [][2]int
	start := -1
	for i, v := range l.Values {
		if !units.Known(v) {
			start = -1
			continue
		}
		if start < 0 || l.broken(i) {
			start = i
			runs = append(runs, [2]int{i, i})
		}
		runs[len(runs)-1][1] = i + 1
	}
	return runs
}

func (l TraceLine) broken(i int) bool {
	step := l.Seconds[i] - l.Seconds[i-1]
	return step < 0 || l.Gap > 0 && step > l.Gap
}

// thin returns the samples of a run to draw, in time order: its first and its
// last, and of each column the lowest and the highest. What it leaves out lies
// between two samples that are drawn in the same column.
func (l TraceLine) thin(run [2]int, x scale, width float64) []int {
	kept := []int{run[0]}
	for i := run[0]; i < run[1]; {
		column := x.column(l.Seconds[i], width)
		low, high := i, i
		for ; i < run[1] && x.column(l.Seconds[i], width) == column; i++ {
			if l.Values[i] < l.Values[low] {
				low = i
			}
			if l.Values[i] > l.Values[high] {
				high = i
			}
		}
		kept = appendNew(kept, min(low, high), max(low, high))
	}
	return appendNew(kept, run[1]-1)
}

// column numbers the column that a time lies in.
func (x scale) column(seconds, width float64) float64 {
	return math.Floor((x.at(seconds) - x.from) / width)
}

// appendNew appends rising indexes, each once.
func appendNew(kept []int, indexes ...int) []int {
	for _, i := range indexes {
		if kept[len(kept)-1] < i {
			kept = append(kept, i)
		}
	}
	return kept
}

// polyline writes one stretch in whole units, relative to the point before; a
// single sample becomes a dot.
func (c *canvas) polyline(line TraceLine, kept []int, x, y scale) {
	px, py := 0.0, 0.0
	for n, i := range kept {
		nx, ny := math.Round(x.at(line.Seconds[i])-x.from), math.Round(y.at(line.Values[i])-y.to)
		switch n {
		case 0:
			c.raw("M").point(nx, ny)
			if len(kept) == 1 {
				c.raw("h0")
			}
		case 1:
			c.raw("l").compact(nx-px, false).compact(ny-py, true)
		default:
			c.compact(nx-px, true).compact(ny-py, true)
		}
		px, py = nx, ny
	}
}

// compact appends a number, separated from the one before only where it must be.
func (c *canvas) compact(n float64, broken bool) *canvas {
	if broken && !(n < 0) {
		c.raw(" ")
	}
	return c.number(n)
}
