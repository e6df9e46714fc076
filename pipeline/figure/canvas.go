package figure

import (
	"bytes"
	"strconv"
	"unicode/utf8"

	"soletrial/pipeline/units"
)

// Width is the width of a figure in its own units, about one CSS pixel each. A
// page shows the variant that fits, so that text keeps its size on a phone.
type Width int

// The widths that pages use.
const (
	Narrow Width = 360
	Wide   Width = 720
)

// wide reports whether labels and values fit beside the plot.
func (w Width) wide() bool { return w >= 560 }

// Head is what every figure starts with. ID must be unique on its page; the
// ids inside the figure are made from it and the width, so that both widths of
// one figure may stand on one page. Title and Desc are the text alternative.
type Head struct {
	ID, Title, Desc string
}

// Estimate is a value with its interval. A missing Low or High means that no
// interval can be given; a missing Value that nothing could be estimated.
type Estimate struct {
	Value, Low, High float64
}

// Bounded reports whether e has an interval.
func (e Estimate) Bounded() bool { return units.Known(e.Low) && units.Known(e.High) }

const (
	textSize  = 14.0
	smallSize = 13.0
)

// canvas collects the text of one figure.
type canvas struct {
	text []byte
	id   string
}

// begin opens a figure of the given size with its text alternative.
func begin(h Head, width Width, height float64) *canvas {
	c := &canvas{id: h.ID + "-" + strconv.Itoa(int(width)), text: make([]byte, 0, 4<<10)}
	size := "narrow"
	if width.wide() {
		size = "wide"
	}
	c.tag("svg").attr("xmlns", "http://www.w3.org/2000/svg").attr("class", "figure "+size)
	c.attr("viewBox", "0 0 "+strconv.Itoa(int(width))+" "+string(number(nil, height))).attr("role", "img")
	c.attr("aria-labelledby", c.id+"-title "+c.id+"-desc").attr("font-family", "system-ui, sans-serif")
	c.num("font-size", textSize).attr("fill", "currentColor").content()
	c.tag("title").attr("id", c.id+"-title").content().put(h.Title).close("title")
	c.tag("desc").attr("id", c.id+"-desc").content().put(h.Desc).close("desc")
	return c
}

func (c *canvas) end() []byte {
	c.close("svg")
	return c.text
}

func (c *canvas) raw(s string) *canvas { c.text = append(c.text, s...); return c }

// put appends text, escaped.
func (c *canvas) put(s string) *canvas { c.text = appendEscaped(c.text, s); return c }

// These write an element piece by piece: its start, its attributes, the end of its
// start tag or of an element without content, and its end tag.

func (c *canvas) tag(name string) *canvas { return c.raw("<").raw(name) }

func (c *canvas) num(name string, x float64) *canvas {
	c.raw(" ").raw(name).raw(`="`)
	c.text = number(c.text, x)
	return c.raw(`"`)
}

func (c *canvas) attr(name, value string) *canvas {
	return c.raw(" ").raw(name).raw(`="`).put(value).raw(`"`)
}

func (c *canvas) number(x float64) *canvas  { c.text = number(c.text, x); return c }
func (c *canvas) content() *canvas          { return c.raw(">") }
func (c *canvas) selfClose() *canvas        { return c.raw("/>") }
func (c *canvas) close(name string) *canvas { return c.raw("</").raw(name).raw(">") }

func (c *canvas) line(class string, x1, y1, x2, y2 float64) *canvas {
	c.tag("line").attr("class", class).num("x1", x1).num("y1", y1).num("x2", x2).num("y2", y2)
	return c.attr("stroke", "currentColor")
}

func (c *canvas) rect(class string, x, y, width, height float64) *canvas {
	return c.tag("rect").attr("class", class).num("x", x).num("y", y).num("width", width).num("height", height)
}

// Text anchors.
const (
	left   = "start"
	centre = "middle"
	right  = "end"
)

// words writes one line of text.
func (c *canvas) words(x, y float64, anchor, class, text string) {
	c.tag("text").num("x", x).num("y", y)
	if anchor != left {
		c.attr("text-anchor", anchor)
	}
	if class != "" {
		c.attr("class", class)
	}
	if class != "" && class != "label" && class != "letter" {
		c.num("font-size", smallSize)
	}
	c.content().put(text).close("text")
}

// label writes text cut to the given room; the whole of it stays readable as
// the element's title.
func (c *canvas) label(x, y, maxWidth float64, text string) {
	short := truncate(text, maxWidth)
	c.tag("text").num("x", x).num("y", y).attr("class", "label").content()
	if short != text {
		c.tag("title").content().put(text).close("title")
	}
	c.put(short).close("text")
}

// number appends x with at most two decimals and no trailing zeros.
func number(dst []byte, x float64) []byte {
	start := len(dst)
	dst = units.AppendDecimal(dst, x, 2)
	if len(dst) == start {
		return append(dst, '0')
	}
	for dst[len(dst)-1] == '0' {
		dst = dst[:len(dst)-1]
	}
	if dst[len(dst)-1] == '.' {
		dst = dst[:len(dst)-1]
	}
	if s := string(dst[start:]); s == "-0" || s == "" {
		return append(dst[:start], '0')
	}
	return dst
}

func appendEscaped(dst []byte, s string) []byte {
	if plain(s, `&<>"'`) {
		return append(dst, s...)
	}
	for _, r := range Visible(s) {
		switch r {
		case '&':
			dst = append(dst, "&amp;"...)
		case '<':
			dst = append(dst, "&lt;"...)
		case '>':
			dst = append(dst, "&gt;"...)
		case '"':
			dst = append(dst, "&#34;"...)
		case '\'':
			dst = append(dst, "&#39;"...)
		case '\n', '\t':
			dst = append(dst, ' ')
		default:
			dst = utf8.AppendRune(dst, r)
		}
	}
	return dst
}

// OnPaper lays a figure that stands alone on a white ground with black letters, so that it can
// be read wherever it is shown.
func OnPaper(svg []byte) []byte {
	return bytes.Replace(
		bytes.Replace(svg, []byte(`fill="currentColor">`), []byte(`fill="currentColor" color="#000000">`), 1),
		[]byte("</desc>"),
		[]byte(`</desc><rect width="100%" height="100%" fill="#ffffff"/>`),
		1,
	)
}
