package figure

import (
	"cmp"
	"math"
	"sort"
	"strconv"
)

// Panel is a trace taken apart for a page that lets a reader zoom and drag: the
// frame with its axes, and the lines as strokes to paint over it. The steady
// window is neither; it belongs on a layer above, where it may move by itself.
type Panel struct {
	Frame   []byte // SVG
	Strokes []Stroke
	// Where the strokes belong, in percent of the frame's width and height.
	Left, Top, Width, Height float64
	// The size of the strokes' own units, tenths of the frame's.
	Across, Down float64
}

// Stroke is one line as the data of an SVG path, in a panel's own units.
type Stroke struct {
	Path  string
	Shoe  int
	Width float64 // of the line, in the panel's units
	Faint bool
	Fill  bool   // the path is a shape to fill, not a line
	Hair  bool   // one of many: at most a dot of the screen wide, which a browser draws several times as fast
	Dash  string // lengths in the panel's units, as SVG has them; "" for an unbroken line
}

// maxDashed is how many lines over each other can still be distinguished by their
// dashes. More of them are drawn unbroken, since dashing long jagged lines takes a
// browser seconds, and each carries its shoe's mark instead.
const maxDashed = 16

// Panel draws the stretch from..to, in seconds from block start. T.From and T.To
// set what the vertical scale must hold, as in [Trace.SVG].
func (t Trace) Panel(width Width, from, to float64) Panel {
	c := begin(t.Head, width, traceHeight)
	shown, all := t.extent()
	x := scale{from, to, traceLeft, float64(width) - 8}
	y := scale{shown.low, shown.high, traceBottom, traceTop}
	decimals := t.frame(c, x, y)
	c.beyond(shown, all, traceHeight-3, decimals)
	p := Panel{
		Left: float64(100*x.from) / float64(width), Width: float64(100*(x.to-x.from)) / float64(width),
		Top:    100 * traceTop / traceHeight,
		Height: 100 * (traceBottom - traceTop) / traceHeight, Across: float64(10 * (x.to - x.from)),
		Down: float64(10 * (traceBottom - traceTop)),
	}
	x.from, x.to, y.from, y.to = 0, p.Across, p.Down, 0
	pixels := float64(10 * (1 + len(t.Lines)/12)) // many lines hide each other's detail
	var marks []Stroke                            // above all lines
	for i, line := range t.Lines {
		s := line.stroke(x, y, pixels)
		if len(t.Lines) > maxDashed {
			s.Dash, s.Hair = "", true
			marks = append(marks, line.marks(x, y, float64(i)/float64(len(t.Lines))))
		}
		p.Strokes = append(p.Strokes, s)
	}
	p.Strokes = append(p.Strokes, marks...)
	p.Frame = c.end()
	return p
}

// The marks on a line that is one of many.
const (
	marksOnLine = 3
	markRadius  = 40.0 // in a panel's own units
)

// marks outlines the shoe's mark at a few samples in view, shifted by a share of
// the distance between two marks, so that those of different lines do not meet.
func (l TraceLine) marks(x, y scale, shift float64) Stroke {
	s := Stroke{Shoe: l.Shoe, Fill: true, Faint: l.Excluded}
	var path []byte
	for k := range marksOnLine {
		at := x.lo + float64((x.hi-x.lo)*(float64(k)+shift))/marksOnLine
		i := sort.SearchFloat64s(l.Seconds, at)
		for i < len(l.Values) && l.Values[i] != l.Values[i] {
			i++
		}
		if i < len(l.Values) && l.Seconds[i] <= x.hi {
			path = appendMark(path, outlineOf(l.Shoe), math.Round(x.at(l.Seconds[i])), math.Round(y.at(l.Values[i])))
		}
	}
	s.Path = string(path)
	return s
}

// appendMark outlines a mark around a point, in whole units.
func appendMark(path []byte, outline [][2]float64, x, y float64) []byte {
	whole := func(x, y float64) { path = append(number(append(number(path, x), ' '), y), ' ') }
	if outline == nil {
		path = append(path, 'M')
		whole(x-markRadius, y)
		return append(path, "a40 40 0 1 0 80 0a40 40 0 1 0 -80 0Z"...)
	}
	path = append(path, 'M')
	for _, p := range outline {
		whole(x+math.Round(float64(p[0]*markRadius)), y+math.Round(float64(p[1]*markRadius)))
	}
	return append(path, 'Z')
}

// frame draws axes and grid and returns the decimals of the vertical one.
func (t Trace) frame(c *canvas, x, y scale) (decimals int) {
	c.words(0, 15, left, "label", truncate(t.Axis, x.to))
	values, decimals := ticks(y.lo, y.hi, 5)
	c.grid(x, y, values)
	c.values(x, y, values, decimals)
	c.minutes(x, traceBottom+2)
	c.words(x.to, traceHeight-3, right, "small", cmp.Or(t.Clock, clockWords))
	return decimals
}

// clockWords says what a time axis counts.
const clockWords = "min:s from block start"

// grid draws a line across for each value.
func (c *canvas) grid(x, y scale, values []float64) {
	c.tag("path").attr("class", "grid").attr("stroke", "currentColor").num("stroke-opacity", 0.15).raw(` d="`)
	for _, v := range values {
		c.raw("M").point(x.from, y.at(v)).raw("H").number(x.to)
	}
	c.raw(`"`).selfClose()
}

// values writes the values left of the grid.
func (c *canvas) values(x, y scale, values []float64, decimals int) {
	for _, v := range values {
		c.words(x.from-6, y.at(v)+4.5, right, "small", Plain(v, decimals))
	}
}

func (l TraceLine) stroke(x, y scale, column float64) Stroke {
	s := Stroke{Shoe: l.Shoe, Width: 12, Faint: l.Excluded}
	if l.Excluded {
		s.Width = 7
	}
	s.Dash = dashTimes(l.Shoe, 10)
	s.Path = string(l.columns(nil, x, y, column))
	return s
}

// columns writes path data with at most the lowest and the highest sample of each
// column of the given width: whole numbers, every point relative to the one before.
// Samples just outside the scale are there too, so that lines reach the edge.
func (l TraceLine) columns(path []byte, x, y scale, column float64) []byte {
	// From the sample before the edge, column by column.
	pen := pen{path: path, x: x, y: y}
	first := max(0, sort.SearchFloat64s(l.Seconds, x.lo)-1)
	step := float64(column*(x.hi-x.lo)) / (x.to - x.from)
	for i := first; i < len(l.Values); {
		column := math.Floor((l.Seconds[i]-x.lo)/step) + 1
		edge := x.lo + float64(step*column)
		// The lowest and the highest sample of the column.
		low, high, end := i, i, i+1
		pen.up = pen.up || i > first && l.broken(i)
		for ; end < len(l.Values) && l.Seconds[end] < edge && !(l.Seconds[end] < l.Seconds[end-1]); end++ {
			if v := l.Values[end]; v < l.Values[low] || l.Values[low] != l.Values[low] {
				low = end
			}
			if v := l.Values[end]; v > l.Values[high] || l.Values[high] != l.Values[high] {
				high = end
			}
		}
		pen.to(l, min(low, high))
		if low != high {
			pen.to(l, max(low, high))
		}
		if l.Seconds[i] > x.hi {
			break
		}
		i = end
	}
	return pen.path
}

// pen writes whole numbers of a panel's units.
type pen struct {
	path    []byte
	x, y    scale
	px, py  int
	up      bool // the line is interrupted before the next point
	started bool
}

func (p *pen) to(l TraceLine, i int) {
	if l.Values[i] != l.Values[i] {
		p.up = true
		return
	}
	nx, ny := int(math.Round(p.x.at(l.Seconds[i]))), int(math.Round(p.y.at(l.Values[i])))
	command := byte('l')
	if p.up || !p.started {
		command = 'm' // relative too; at first from 0,0
	}
	p.path = strconv.AppendInt(append(p.path, command), int64(nx-p.px), 10)
	p.path = strconv.AppendInt(append(p.path, ' '), int64(ny-p.py), 10)
	if command == 'm' {
		p.path = append(p.path, "h0"...) // a single sample becomes a dot
	}
	p.px, p.py, p.up, p.started = nx, ny, false, true
}
