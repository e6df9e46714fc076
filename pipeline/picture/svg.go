package picture

import (
	"fmt"
	"html"
	"strconv"
	"strings"

	"soletrial/pipeline/units"
)

// SVG writes the drawing. Letters are outlines, each once, so that it looks the same
// without the font; title and description say what it shows.
func (d *Drawing) SVG() []byte {
	var b, body strings.Builder
	known := map[string]bool{}
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" viewBox="0 0 %[1]d %[2]d"`,
		d.Width, d.Height)
	b.WriteString(` role="img">`)
	b.WriteString("\n")
	b.WriteString("<title>" + html.EscapeString(d.Title) + "</title>\n<desc>" + html.EscapeString(d.Alt) + "</desc>\n")
	b.WriteString("<defs>")
	for _, s := range d.shapes {
		for _, g := range s.glyphs {
			if name := glyphName(g); !known[name] {
				known[name] = true
				b.WriteString(`<path id="` + name + `" d="` + data(d.faces.outline(g)) + `"/>`)
			}
		}
		d.writeShape(&body, s)
	}
	b.WriteString("</defs>\n")
	if !d.Transparent {
		fmt.Fprintf(&b, `<rect width="%d" height="%d" fill="%s"/>`+"\n", d.Width, d.Height, paper.hex())
	}
	return []byte(b.String() + body.String() + "</svg>\n")
}

func glyphName(g glyph) string { return string("rb"[g.weight]) + strconv.Itoa(int(g.id)) }

func (c colour) hex() string { return fmt.Sprintf("#%02x%02x%02x", c.r, c.g, c.b) }

func (d *Drawing) writeShape(b *strings.Builder, s shape) {
	switch {
	case len(s.glyphs) > 0:
		scale := s.size / d.faces.em(s.glyphs[0].weight)
		b.WriteString(`<g fill="` + s.colour.hex() + `">`)
		for _, g := range s.glyphs {
			fmt.Fprintf(b, `<use href="#%s" transform="translate(%s %s) scale(%s -%s)"/>`, glyphName(g), number(g.x),
				number(g.y), units.FormatShort(scale, 6), units.FormatShort(scale, 6))
		}
		b.WriteString("</g>\n")
	case s.width > 0:
		b.WriteString(`<path fill="none" stroke="` + s.colour.hex() + `" stroke-width="` + number(s.width) +
			`" stroke-linecap="round" stroke-linejoin="round" d="` + data(s.path) + "\"/>\n")
	default:
		b.WriteString(`<path fill="` + s.colour.hex() + `" d="` + data(s.path) + "\"/>\n")
	}
}

// data writes a path.
func data(p path) string {
	var b strings.Builder
	for _, s := range p {
		b.WriteByte("MLQCZ"[s.op])
		for i, at := range s.p[:points[s.op]] {
			if i > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(number(at.x) + " " + number(at.y))
		}
	}
	return b.String()
}

func number(x float64) string { return units.FormatShort(x, 2) }
