package site

import (
	"strings"

	"soletrial/pipeline/markup"
)

// WriteHTML writes the rows of the table. It writes what the template "cell" does with each of
// them, without the reflection of templates: a large site has millions of cells.
func (t table) WriteHTML(b *strings.Builder) error {
	for _, row := range t.Rows {
		b.WriteString("<tr>")
		for i := range row {
			c := &row[i]
			end := "</td>"
			// The first cell heads its row; on a phone each other cell carries the head of its column, and the
			// number that heads a dense card does too.
			if i == 0 {
				b.WriteString(`<th scope="row" class="`)
				end = "</th>"
			} else {
				b.WriteString(`<td class="`)
			}
			b.WriteString(c.Class())
			if i > 0 && t.Cards || t.Dense {
				b.WriteString(`" data-label="`)
				markup.Escape(b, t.Head[i].Text)
			}
			b.WriteString(`">`)
			if err := c.write(b); err != nil {
				return err
			}
			b.WriteString(end)
		}
		b.WriteString("</tr>\n")
	}
	return nil
}

// write writes what stands in the cell.
func (c *cell) write(b *strings.Builder) error {
	// Cells with parts of their own go through the template.
	if !c.plain() {
		return templates["data"].Write(b, "cell", c)
	}
	// The others are a shoe, shoes, a link, code, a number in two systems of units, or text.
	switch {
	case c.Shoe != nil:
		c.Shoe.write(b)
	case len(c.Shoes) > 0:
		for i := range c.Shoes {
			c.Shoes[i].writeLetter(b)
			b.WriteByte(' ')
		}
	case c.Href != "":
		writeLink(b, c.Href, c.Text)
	case c.Code:
		writeTagged(b, "<code>", c.Text, "</code>")
	case c.Other != "":
		writeTagged(b, `<span class="metric">`, c.Text, `</span> <span class="imperial">`)
		markup.Escape(b, c.Other)
		b.WriteString("</span>")
	default:
		markup.Escape(b, c.Text)
	}
	if c.Note != "" {
		writeTagged(b, ` <span class="aside">`, c.Note, "</span>")
	}
	return nil
}

// plain reports whether every address in the cell may stand as it is. Others are left to the
// template, which knows what an address may hold.
func (c *cell) plain() bool {
	return isPlainAddress(c.Href) && (c.Shoe == nil || isPlainAddress(c.Shoe.Href))
}

// isPlainAddress reports whether an address is relative and of signs that need no escape.
func isPlainAddress(href string) bool {
	for i := range len(href) {
		c := href[i]
		if (c < 'a' || c > 'z') && (c < 'A' || c > 'Z') && (c < '0' || c > '9') && strings.IndexByte("-._~/#", c) < 0 {
			return false
		}
	}
	return true
}

// write writes the shoe as the template "shoe" does.
func (s *shoe) write(b *strings.Builder) {
	b.WriteString(`<span class="shoe">`)
	b.WriteString(string(s.Mark))
	b.WriteByte(' ')
	if s.Href != "" {
		writeLink(b, s.Href, s.Label)
	} else {
		markup.Escape(b, s.Label)
	}
	b.WriteString("</span>")
}

// writeLetter writes the shoe as the template "letter" does.
func (s *shoe) writeLetter(b *strings.Builder) {
	b.WriteString(`<abbr class="letter `)
	markup.Escape(b, s.Class)
	writeTagged(b, `" title="`, s.Label, `">`)
	writeTagged(b, "", s.Letter, "</abbr>")
}

func writeLink(b *strings.Builder, href, text string) {
	writeTagged(b, `<a href="`, href, `">`)
	writeTagged(b, "", text, "</a>")
}

// writeTagged writes a text between two pieces of HTML.
func writeTagged(b *strings.Builder, before, text, after string) {
	b.WriteString(before)
	markup.Escape(b, text)
	b.WriteString(after)
}
