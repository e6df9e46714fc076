package figure

import (
	"math"
	"slices"
)

// Multiples shows the lines of a [Trace] in a panel for each shoe, all with the same
// scales, side by side in rows. Where many blocks lie over each other this is how the
// blocks of one shoe, and the shoes among themselves, can be compared. Clock and View of
// the Trace have no effect.
type Multiples struct {
	Trace
	Labels map[int]string // the name of every shoe that has a line
}

const (
	multipleTop    = 24.0 // above the first row
	multipleName   = 20.0 // the line with a panel's shoe
	multipleHeight = 84.0 // a panel's plot
	multipleBelow  = 12.0 // below a panel that another one follows
	multipleGap    = 14.0 // between two panels of a row
	multipleBottom = 44.0 // below the last row: the time axis and what it counts
)

// columns is how many panels stand side by side.
func (w Width) columns() int {
	if w.wide() {
		return 4
	}
	return 2
}

// SVG draws the panels.
func (m Multiples) SVG(width Width) []byte {
	shoes := m.shoes()
	columns := width.columns()
	rows := max(1, (len(shoes)+columns-1)/columns)
	pitch := multipleName + multipleHeight + multipleBelow
	height := multipleTop + float64(float64(rows)*pitch) + multipleBottom - multipleBelow
	c := begin(m.Head, width, height)
	c.words(0, 15, left, "label", truncate(m.Axis, float64(width)))
	// One panel after the other, row by row; every column has its own time axis, every row its values.
	shown, all := m.extent()
	across := (float64(width) - 8 - traceLeft - float64(float64(columns-1)*multipleGap)) / float64(columns)
	values, decimals := ticks(shown.low, shown.high, 4)
	for i, shoe := range shoes {
		from := traceLeft + float64(float64(i%columns)*(across+multipleGap))
		top := multipleTop + float64(float64(i/columns)*pitch) + multipleName
		x := scale{0, math.Max(m.Span, 1), from, from + across}
		y := scale{shown.low, shown.high, top + multipleHeight, top}
		c.inColour(shoe).marker(shoe, from+6, top-10, 5, false)
		c.close("g")
		c.label(from+17, top-5, across-17, m.Labels[shoe])
		c.grid(x, y, values)
		if i%columns == 0 {
			c.values(x, y, values, decimals)
		}
		m.ofShoe(shoe).plot(c, x, y, false)
		if i+columns >= len(shoes) {
			c.minutes(x, y.from+2)
		}
	}
	// What the axis counts, and what lies beyond the panels.
	c.words(float64(width)-8, height-3, right, "small", clockWords)
	c.beyond(shown, all, height-3, decimals)
	return c.end()
}

// shoes lists the shoes that have a line, by their place in the register.
func (m Multiples) shoes() []int {
	var shoes []int
	for _, line := range m.Lines {
		if !slices.Contains(shoes, line.Shoe) {
			shoes = append(shoes, line.Shoe)
		}
	}
	slices.Sort(shoes)
	return shoes
}

// ofShoe is the trace with the lines of one shoe only.
func (m Multiples) ofShoe(shoe int) Trace {
	one := m.Trace
	one.Lines = nil
	for _, line := range m.Lines {
		if line.Shoe == shoe {
			one.Lines = append(one.Lines, line)
		}
	}
	return one
}

// beyond says below the figure how far the lines go past its edges, clear of the ends of the
// steady window, which move.
func (c *canvas) beyond(shown, all bounds, y float64, decimals int) {
	if words := beyondWords(shown, all, decimals); words != "" {
		c.words(0, y, left, "small", words)
	}
}

// beyondWords says in numbers how far the lines go past the edges; "" where they do not.
func beyondWords(shown, all bounds, decimals int) string {
	low, high := all.low < shown.low, all.high > shown.high
	switch {
	case low && high:
		return "lines go on to " + Plain(all.low, decimals) + " and " + Plain(all.high, decimals)
	case low:
		return "lines go on down to " + Plain(all.low, decimals)
	case high:
		return "lines go on up to " + Plain(all.high, decimals)
	}
	return ""
}
