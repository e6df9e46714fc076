package figure

import (
	"cmp"
	"math"
	"sort"
	"strconv"
	"strings"
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
	Dash  string // lengths in the panel's units, as SVG has them; "" for an unbroken line
}

// tellable is how many lines over each other can still be told apart by their
// dashes. More of them are drawn unbroken, since dashing long jagged lines takes a
// browser seconds; what tells them apart is the table of readings.
const tellable = 16

// Panel draws the stretch from..to, in seconds from block start. T.From and T.To
// set what the vertical scale must hold, as in [Trace.SVG].
func (t Trace) Panel(width Width, from, to float64) Panel {
	c := begin(t.Head, width, traceHeight)
	shown, all := t.extent()
	x := scale{from, to, traceLeft, float64(width) - 8}
	y := scale{shown.low, shown.high, traceBottom, traceTop}
	decimals := t.frame(c, x, y)
	t.beyond(c, shown, all, x, decimals)
	p := Panel{
		Left: float64(100*x.from) / float64(width), Width: float64(100*(x.to-x.from)) / float64(width), Top: 100 * traceTop / traceHeight,
		Height: 100 * (traceBottom - traceTop) / traceHeight, Across: float64(10 * (x.to - x.from)), Down: float64(10 * (traceBottom - traceTop)),
	}
	x.from, x.to, y.from, y.to = 0, p.Across, p.Down, 0
	pixels := float64(10 * (1 + len(t.Lines)/12)) // many lines hide each other's detail
	for _, line := range t.Lines {
		s := line.stroke(x, y, pixels)
		if len(t.Lines) > tellable {
			s.Dash = ""
		}
		p.Strokes = append(p.Strokes, s)
	}
	p.Frame = c.end()
	return p
}

// frame draws axes and grid and returns the decimals of the vertical one.
func (t Trace) frame(c *canvas, x, y scale) (decimals int) {
	c.words(0, 15, left, "label", cut(t.Axis, x.to))
	values, decimals := ticks(y.lo, y.hi, 5)
	for _, v := range values {
		c.line("grid", x.from, y.at(v), x.to, y.at(v)).at("stroke-opacity", 0.15).done()
		c.words(x.from-6, y.at(v)+4.5, right, "small", Plain(v, decimals))
	}
	c.minutes(x, traceBottom+2)
	c.words(x.to, traceHeight-3, right, "small", cmp.Or(t.Clock, "min:s from block start"))
	return decimals
}

func (l TraceLine) stroke(x, y scale, column float64) Stroke {
	s := Stroke{Shoe: l.Shoe, Width: 12, Faint: l.Excluded}
	if l.Excluded {
		s.Width = 7
	}
	if dash := dashes[variant(l.Shoe)]; dash != "" {
		s.Dash = strings.ReplaceAll(dash, " ", "0 ") + "0"
	}
	s.Path = string(l.columns(nil, x, y, column))
	return s
}

// columns writes path data with at most the lowest and the highest sample of each
// column of the given width: whole numbers, every point relative to the one before.
// Samples just outside the scale are there too, so that lines reach the edge.
func (l TraceLine) columns(path []byte, x, y scale, column float64) []byte {
	pen := pen{path: path, x: x, y: y}
	first := max(0, sort.SearchFloat64s(l.Seconds, x.lo)-1)
	step := float64(column*(x.hi-x.lo)) / (x.to - x.from)
	for i := first; i < len(l.Values); {
		column := math.Floor((l.Seconds[i]-x.lo)/step) + 1
		edge := x.lo + float64(step*column)
		low, high, end := i, i, i+1
		pen.up = pen.up || i > first && l.parted(i)
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
	path   []byte
	x, y   scale
	px, py int
	up     bool // the line is parted before the next point
	begun  bool
}

func (p *pen) to(l TraceLine, i int) {
	if l.Values[i] != l.Values[i] {
		p.up = true
		return
	}
	nx, ny := int(math.Round(p.x.at(l.Seconds[i]))), int(math.Round(p.y.at(l.Values[i])))
	command := byte('l')
	if p.up || !p.begun {
		command = 'm' // relative too; at first from 0,0
	}
	p.path = strconv.AppendInt(append(p.path, command), int64(nx-p.px), 10)
	p.path = strconv.AppendInt(append(p.path, ' '), int64(ny-p.py), 10)
	if command == 'm' {
		p.path = append(p.path, "h0"...) // a single sample becomes a dot
	}
	p.px, p.py, p.up, p.begun = nx, ny, false, true
}
