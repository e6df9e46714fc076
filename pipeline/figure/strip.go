package figure

import (
	"math"

	"soletrial/pipeline/units"
)

// Strip shows many answers to one question as marks around a line at zero, one row for
// each kind of analysis. Every mark has a title and the address of its
// analysis, so that a page can tell it.
type Strip struct {
	Head
	Axis string
	rows []stripRow
}

type stripRow struct {
	kind  string
	marks []StripMark
}

// StripMark is one analysis: the shoe that leads in it, and how far it is ahead, in favour
// of the shoe that the strip is about.
type StripMark struct {
	Shoe        int
	Value       float64
	Words, Href string
}

// Add puts a mark in the row of its kind; a new kind begins a row.
func (s *Strip) Add(kind string, m StripMark) {
	for i := range s.rows {
		if s.rows[i].kind == kind {
			s.rows[i].marks = append(s.rows[i].marks, m)
			return
		}
	}
	s.rows = append(s.rows, stripRow{kind, []StripMark{m}})
}

const (
	stripRowHeight = 24.0
	stripLeft      = 124.0
)

// SVG draws the strip.
func (s Strip) SVG(width Width) []byte {
	bottom := 8 + float64(stripRowHeight*float64(len(s.rows)))
	c := begin(s.Head, width, bottom+44)
	// The scale holds every mark, and zero.
	lo, hi := 0.0, 0.0
	for _, row := range s.rows {
		for _, m := range row.marks {
			if units.Known(m.Value) {
				lo, hi = math.Min(lo, m.Value), math.Max(hi, m.Value)
			}
		}
	}
	if lo == hi {
		hi = lo + 1
	}
	margin := (hi - lo) / 20
	x := scale{lo - margin, hi + margin, stripLeft, float64(width) - 8}
	c.words(math.Max(x.at(0), stripLeft+8), bottom+16, centre, "small", "0")
	c.line("zero", x.at(0), 4, x.at(0), bottom).num("stroke-width", 1.5).selfClose()
	// The rows.
	for i, row := range s.rows {
		y := 8 + float64(stripRowHeight*(float64(i)+0.5))
		c.words(0, y+4.5, left, "small", truncate(row.kind, stripLeft-6))
		c.tag("g").attr("fill", "none").attr("stroke", "currentColor").num("stroke-width", 2).content()
		for _, m := range row.marks {
			c.stripMark(m, x, y)
		}
		c.close("g")
	}
	c.words(0, bottom+38, left, "small", truncate(s.Axis, float64(width)))
	return c.end()
}

func (c *canvas) stripMark(m StripMark, x scale, y float64) {
	if !units.Known(m.Value) {
		return
	}
	c.tag("g").attr("class", "mark "+ColourClass(m.Shoe)).attr("data-href", m.Href).content()
	c.tag("title").content().put(m.Words).close("title")
	c.marker(m.Shoe, math.Round(x.at(m.Value)), y, 5, false)
	c.close("g")
}

// ChanceBar draws a chance from 0 to 1 as a bar in the shoe's colour. It is decoration beside
// the number and hidden from screen readers.
func ChanceBar(shoe int, chance float64) []byte {
	c := &canvas{}
	c.tag("svg").attr("xmlns", "http://www.w3.org/2000/svg").attr("class", "chance "+ColourClass(shoe)).
		attr("viewBox", "0 0 100 10").attr("preserveAspectRatio", "none").attr("color", colour(shoe)).
		attr("fill", "currentColor").attr("aria-hidden", "true").content()
	c.rect("whole", 0, 0, 100, 10).num("fill-opacity", 0.14).selfClose()
	c.rect("part", 0, 0, math.Max(0.8, float64(100*chance)), 10).selfClose()
	return c.end()
}

// Mark draws a shoe's mark alone, for headings. It is decoration beside the shoe's name.
func Mark(shoe int) []byte {
	c := &canvas{}
	c.tag("svg").attr("xmlns", "http://www.w3.org/2000/svg").attr("class", "shoe-mark "+ColourClass(shoe)).
		attr("viewBox", "-8 -8 16 16").attr("color", colour(shoe)).attr("fill", "currentColor").
		attr("aria-hidden", "true").content()
	c.marker(shoe, 0, 0, 6, false)
	return c.end()
}
