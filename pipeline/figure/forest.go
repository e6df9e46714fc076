package figure

import "soletrial/pipeline/units"

// forest is the part of a figure where estimates with intervals stand over one
// another around a line at zero.
type forest struct {
	*canvas
	x      scale
	rows   rows
	edge   float64 // where values end
	bottom float64
}

// rows places rows of labels, values and marks: in one line where there is room,
// otherwise the marks below the words.
type rows struct {
	height     float64
	text, mark float64 // baseline of the words and height of the mark, from the top of a row
	above      bool
}

const rowsTop = 8.0

func rowsFor(width Width) rows {
	if width.wide() {
		return rows{height: 34, text: 22, mark: 17}
	}
	return rows{height: 50, text: 18, mark: 36, above: true}
}

func (r rows) top(i int) float64    { return rowsTop + float64(r.height*float64(i)) }
func (r rows) textY(i int) float64  { return r.top(i) + r.text }
func (r rows) markY(i int) float64  { return r.top(i) + r.mark }
func (r rows) bottom(n int) float64 { return r.top(n) }

// newForest places the scale of n rows beside the labels where there is room, else below
// them.
func newForest(c *canvas, width Width, n int, lo, hi float64) forest {
	f := forest{canvas: c, rows: rowsFor(width), edge: float64(width)}
	f.bottom = f.rows.bottom(n)
	f.x = scale{lo, hi, 14, float64(width) - 14}
	if width.wide() {
		f.x.from, f.x.to, f.edge = float64(0.27*float64(width)), float64(0.7*float64(width)), float64(width)
	}
	return f
}

// axis draws the line at zero, the ticks and their numbers below. The lines stay
// clear of words that stand above the marks.
func (f forest) axis(n int) {
	values, decimals := ticks(f.x.lo, f.x.hi, max(3, int((f.x.to-f.x.from)/55)))
	for _, v := range values {
		f.upright("grid", f.x.at(v), n, 0.15, 1)
		f.words(f.x.at(v), f.bottom+17, centre, "small", Signed(v, decimals))
	}
	f.upright("zero", f.x.at(0), n, 1, 1.5)
}

// upright draws a vertical line through n rows.
func (f forest) upright(class string, x float64, n int, opacity, width float64) {
	f.tag("path").attr("class", class).attr("stroke", "currentColor").num("stroke-opacity", opacity).
		num("stroke-width", width).raw(` d="`)
	if f.rows.above {
		for i := range n {
			f.raw("M").point(x, f.rows.markY(i)-12).raw("V").number(f.rows.top(i + 1))
		}
	} else {
		f.raw("M").point(x, rowsTop-4).raw("V").number(f.bottom + 4)
	}
	f.raw(`"`).selfClose()
}

// interval draws the whisker of e at height y: a line with end caps, or with an
// arrow where it goes on beyond the scale.
func (f forest) interval(e Estimate, y float64) {
	if !e.Bounded() {
		return
	}
	low, beyondLow := f.x.clamp(e.Low)
	high, beyondHigh := f.x.clamp(e.High)
	f.line("whisker", low, y, high, y).num("stroke-width", 2.5).selfClose()
	f.whiskerEnd(low, y, beyondLow, 6)
	f.whiskerEnd(high, y, beyondHigh, -6)
}

func (f forest) whiskerEnd(x, y float64, beyond bool, inwards float64) {
	if !beyond {
		f.line("cap", x, y-6, x, y+6).num("stroke-width", 2.5).selfClose()
		return
	}
	f.tag("path").attr("class", "arrow").raw(` d="M`).point(x, y).raw("L").point(x+inwards, y-5).raw("L").
		point(x+inwards, y+5).raw(`Z"`).selfClose()
}

// mark draws an estimate of a shoe with its interval.
func (f forest) mark(e Estimate, shoe int, y float64) {
	if !units.Known(e.Value) {
		return
	}
	f.inColour(shoe)
	f.interval(e, y)
	x, _ := f.x.clamp(e.Value)
	f.marker(shoe, x, y, 6, !e.Bounded())
	f.close("g")
}

// rowWords writes the label and the value of row i.
func (f forest) rowWords(i int, label, value string) {
	maxWidth := f.x.from - 12
	if f.rows.above {
		maxWidth = f.edge - valueWidth
	}
	f.label(0, f.rows.textY(i), maxWidth, label)
	f.words(f.edge, f.rows.textY(i), right, "value", value)
}

// valueWidth is what a difference with its interval takes at most.
const valueWidth = 180.0
