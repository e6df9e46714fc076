package figure

import (
	"strconv"
	"strings"
)

// palette is the open categorical palette of Okabe & Ito ("Color Universal
// Design", 2008), which people with the common kinds of colour blindness can
// tell apart, its paler hues darkened to keep a contrast of 3:1 on paper. It is
// what a figure shows on its own; a page's style sheet overrides it by class.
var palette = [...]string{"#0072b2", "#d55e00", "#009e73", "#b8629a", "#a87400", "#000000", "#2d8fc9", "#8f8500"}

// Colours returns the colours of a figure that stands alone, by shoe number.
func Colours() []string { return append([]string(nil), palette[:]...) }

// NoShoe stands in the place of a shoe that is not in the register, or that nobody
// named. It has a grey, a letter, a mark and a dash of its own, so that it is never
// taken for a shoe.
const NoShoe = -1

const noShoeGrey = "#5a5d61"

// colour is what a figure that stands alone shows the shoe in.
func colour(shoe int) string {
	if shoe < 0 {
		return noShoeGrey
	}
	return palette[shoe%len(palette)]
}

// ColourClass returns the class that colours the shoe with the given place in
// the register, counting from 0, or [NoShoe].
func ColourClass(shoe int) string {
	if shoe < 0 {
		return "shoe-none"
	}
	return "shoe-" + strconv.Itoa(shoe%len(palette))
}

// Letter returns the letter a shoe goes by: A, B, ... Z, AA, AB, ..., and ? for
// [NoShoe].
func Letter(shoe int) string {
	if shoe < 0 {
		return "?"
	}
	if shoe < 26 {
		return string(rune('A' + shoe))
	}
	return Letter(shoe/26-1) + string(rune('A'+shoe%26))
}

// dashes is the second code of a line.
var dashes = [...]string{"", "7 3", "2 3", "10 3 2 3", "4 2", "12 3 4 3", "1 2", "7 2 1 2 1 2"}

// markers is the second code of a point: outlines in a square of -1..1.
var markers = [...][][2]float64{
	nil, // a circle
	{{-0.9, -0.9}, {0.9, -0.9}, {0.9, 0.9}, {-0.9, 0.9}},
	{{0, -1.15}, {1.1, 0.85}, {-1.1, 0.85}},
	{{0, -1.25}, {1.25, 0}, {0, 1.25}, {-1.25, 0}},
	{{0, 1.15}, {1.1, -0.85}, {-1.1, -0.85}},
	{{-0.4, -1.1}, {0.4, -1.1}, {0.4, -0.4}, {1.1, -0.4}, {1.1, 0.4}, {0.4, 0.4}, {0.4, 1.1}, {-0.4, 1.1}, {-0.4, 0.4},
		{-1.1, 0.4}, {-1.1, -0.4}, {-0.4, -0.4}},
	{{-1.1, -0.55}, {-0.55, -1.1}, {0, -0.55}, {0.55, -1.1}, {1.1, -0.55}, {0.55, 0}, {1.1, 0.55}, {0.55, 1.1},
		{0, 0.55}, {-0.55, 1.1}, {-1.1, 0.55}, {-0.55, 0}},
	{{-0.5, -1.05}, {0.5, -1.05}, {1.1, 0}, {0.5, 1.05}, {-0.5, 1.05}, {-1.1, 0}},
}

// variant picks the second code, shifted by one each time the colours repeat,
// so that 64 shoes get 64 different pairs.
func variant(shoe int) int { return (shoe + shoe/len(palette)) % len(markers) }

// dashOf and outlineOf are the second codes of a shoe; nil is a circle. [NoShoe]
// is finely dotted and a flat bar.
func dashOf(shoe int) string {
	if shoe < 0 {
		return "1 4"
	}
	return dashes[variant(shoe)]
}

func outlineOf(shoe int) [][2]float64 {
	if shoe < 0 {
		return [][2]float64{{-1.2, -0.35}, {1.2, -0.35}, {1.2, 0.35}, {-1.2, 0.35}}
	}
	return markers[variant(shoe)]
}

// inColour opens a group in the shoe's colour.
func (c *canvas) inColour(shoe int) *canvas {
	return c.tag("g").attr("class", ColourClass(shoe)).attr("color", colour(shoe)).content()
}

// marker draws the shoe's mark in the colour of its group.
func (c *canvas) marker(shoe int, x, y, radius float64, hollow bool) {
	outline := outlineOf(shoe)
	if outline == nil {
		c.tag("circle").num("cx", x).num("cy", y).num("r", radius)
	} else {
		c.tag("path").raw(` d="`)
		for i, p := range outline {
			c.raw([]string{"M", "L"}[min(i, 1)]).point(x+float64(p[0]*radius), y+float64(p[1]*radius))
		}
		c.raw(`Z"`)
	}
	if hollow {
		c.attr("class", "hollow").attr("fill", "none").attr("stroke", "currentColor").num("stroke-width", 2)
	}
	c.selfClose()
}

// point appends "x y".
func (c *canvas) point(x, y float64) *canvas {
	c.text = append(number(c.text, x), ' ')
	c.text = number(c.text, y)
	return c
}

// dashed adds the shoe's dash pattern to the element being written.
func (c *canvas) dashed(shoe int) *canvas {
	if dash := dashOf(shoe); dash != "" {
		c.attr("stroke-dasharray", dash)
	}
	return c
}

// dashTimes is the shoe's dash pattern, every length so many times as long; "" for
// an unbroken line.
func dashTimes(shoe int, times float64) string {
	var lengths []string
	for length := range strings.FieldsSeq(dashOf(shoe)) {
		units, _ := strconv.Atoi(length) // whole numbers, all of them
		lengths = append(lengths, string(number(nil, float64(float64(units)*times))))
	}
	return strings.Join(lengths, " ")
}

// Swatch draws a shoe's line and mark, for legends and tables. It is decoration
// beside the shoe's label and hidden from screen readers.
func Swatch(shoe int) []byte {
	c := &canvas{}
	c.tag("svg").attr("xmlns", "http://www.w3.org/2000/svg").attr("class", "swatch "+ColourClass(shoe)).
		attr("viewBox", "0 0 34 14")
	c.num("width", 34).num("height", 14).attr("color", colour(shoe)).attr("fill", "currentColor").
		attr("aria-hidden", "true").content()
	c.tag("path").attr("d", "M0 7H34").attr("stroke", "currentColor").num("stroke-width", 2).dashed(shoe).selfClose()
	c.marker(shoe, 17, 7, 5, false)
	return c.end()
}

// Outline is the mark of a shoe as an outline in a square of -1 to 1, nil for a circle.
func Outline(shoe int) [][2]float64 { return outlineOf(shoe) }
