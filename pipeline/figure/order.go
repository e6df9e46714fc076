package figure

import (
	"math"

	"soletrial/pipeline/units"
)

// Order shows a session's blocks in the order they were run, coloured and
// lettered by shoe, with the steady window solid inside each block and blocks
// that were left out hatched. Where the held effort is known, a second band
// shows how far each block was off its target.
type Order struct {
	Head
	Blocks   []OrderBlock
	LimitPct float64 // how far off target is within the limits, percent
}

// OrderBlock is one block; times are session seconds. Blocks without times are
// drawn as equal steps.
type OrderBlock struct {
	Label      string // what the block is called where a pointer, a finger or the keys choose it
	Shoe       int
	Start, End float64
	From, To   float64 // steady window
	OffPct     float64 // clamp effort against target, percent
	Excluded   bool
}

// SVG draws the order strip.
func (o Order) SVG(width Width) []byte {
	timed, blocks := o.timed()
	off := o.offKnown()
	height := 112.0
	switch {
	case off:
		height = 204
	case !timed:
		height = 92
	}
	c := begin(o.Head, width, height)
	x := scale{0, 1, 8, float64(width) - 8}
	if len(blocks) > 0 {
		x.lo, x.hi = span(blocks)
	}
	for _, b := range blocks {
		c.block(b, x)
	}
	if timed {
		c.minutes(x, 66)
		c.words(x.to, 106, right, "small", "min:s from the start")
	} else {
		c.words(0, 84, left, "small", "in the order run; no times recorded")
	}
	if off {
		o.effortBand(c, blocks, x)
	}
	return c.end()
}

// timed returns the blocks with their times, or with equal steps for times when
// any time is missing.
func (o Order) timed() (bool, []OrderBlock) {
	for _, b := range o.Blocks {
		if !(b.End > b.Start) {
			return false, steps(o.Blocks)
		}
	}
	return len(o.Blocks) > 0, o.Blocks
}

func steps(blocks []OrderBlock) []OrderBlock {
	even := make([]OrderBlock, len(blocks))
	for i, b := range blocks {
		b.Start, b.End = float64(i), float64(i)+0.9
		b.From, b.To = b.Start, b.End
		even[i] = b
	}
	return even
}

func (o Order) offKnown() bool {
	for _, b := range o.Blocks {
		if units.Known(b.OffPct) {
			return true
		}
	}
	return false
}

func span(blocks []OrderBlock) (lo, hi float64) {
	lo, hi = blocks[0].Start, blocks[0].End
	for _, b := range blocks {
		lo, hi = math.Min(lo, b.Start), math.Max(hi, b.End)
	}
	return math.Min(lo, math.Max(0, lo-600)), hi
}

// Where the strip stands.
const (
	stripTop    = 22.0
	stripHeight = 40.0
)

func (c *canvas) block(b OrderBlock, x scale) {
	start, end := x.at(b.Start), x.at(b.End)
	c.inColour(b.Shoe)
	c.tag("title").content().put(b.words()).close("title")
	whole := c.rect("block", start, stripTop, end-start, stripHeight).attr("stroke", "currentColor")
	if b.Excluded {
		whole.attr("fill", "none").selfClose()
		c.hatch(start, stripTop, end-start, stripHeight)
	} else {
		whole.num("fill-opacity", 0.3).selfClose()
		if b.To > b.From {
			c.rect("window", x.at(b.From), stripTop, x.at(b.To)-x.at(b.From), stripHeight).selfClose()
		}
	}
	c.close("g")
	if end-start >= 9 {
		c.words((start+end)/2, stripTop-6, centre, "letter", Letter(b.Shoe))
	}
}

// words say what a block is, and how far off its target where that is known.
func (b OrderBlock) words() string {
	if !units.Known(b.OffPct) {
		return b.Label
	}
	return b.Label + ": " + Signed(b.OffPct, 1) + " % off target"
}

// hatch fills a rectangle with slanted lines.
func (c *canvas) hatch(x, y, width, height float64) {
	c.tag("path").attr("class", "hatch").attr("fill", "none").attr("stroke", "currentColor").raw(` d="`)
	for t := -height + 6; t < width; t += 6 {
		enter, leave := math.Max(0, t), math.Min(width, t+height)
		if leave <= enter {
			continue
		}
		c.raw("M").point(x+enter, y+height-(enter-t)).raw("L").point(x+leave, y+height-(leave-t))
	}
	c.raw(`"`).selfClose()
}

// minutes draws a time axis under the strip.
func (c *canvas) minutes(x scale, y float64) {
	for _, t := range clockTicks(x.lo, x.hi, int((x.to-x.from)/60)) {
		at := x.at(t)
		c.line("tick", at, y-2, at, y+4).selfClose()
		anchor := centre
		if at > x.to-20 {
			anchor = right
		}
		c.words(math.Max(at, 16), y+18, anchor, "small", units.FormatClock(t))
	}
}

// clockTicks returns round times within lo..hi, at most the given number.
func clockTicks(lo, hi float64, most int) []float64 {
	for _, step := range []float64{10, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 43200, 86400} {
		if times := multiples(lo, hi, step, 1, most); times != nil {
			return times
		}
	}
	return []float64{lo}
}

// effortBand draws each block's held effort against its target.
func (o Order) effortBand(c *canvas, blocks []OrderBlock, x scale) {
	most := math.Max(1, o.LimitPct)
	for _, b := range blocks {
		if off := math.Abs(b.OffPct); off > most {
			most = off
		}
	}
	most = float64(most * 1.15)
	// The band within the limit, and the line of the target.
	y := scale{-most, most, 188, 118}
	c.words(0, 106, left, "small", "effort, % off target")
	if o.LimitPct > 0 {
		c.rect("band", x.from, y.at(o.LimitPct), x.to-x.from, y.at(-o.LimitPct)-y.at(o.LimitPct)).num("fill-opacity",
			0.08).selfClose()
		c.words(x.to, y.at(o.LimitPct)-4, right, "small", Signed(o.LimitPct, 1)+" %")
		c.words(x.to, y.at(-o.LimitPct)+14, right, "small", Signed(-o.LimitPct, 1)+" %")
	}
	c.line("zero", x.from, y.at(0), x.to, y.at(0)).selfClose()
	// A mark for each block.
	for _, b := range blocks {
		if !units.Known(b.OffPct) {
			continue
		}
		middle := x.at(float64((b.Start + b.End) / 2))
		c.inColour(b.Shoe)
		c.tag("title").content().put(b.words()).close("title")
		c.marker(b.Shoe, middle, y.at(b.OffPct), 4.5, b.Excluded)
		c.close("g")
	}
}
