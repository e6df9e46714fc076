package summary

import (
	"html"
	"strings"
	"unicode/utf8"
)

// Text writes the summary as plain text, a blank line between its parts.
func (s Summary) Text() string {
	var parts []string
	for _, p := range s.parts() {
		text := p.text
		if len(p.rows) > 0 {
			text = strings.Join(lines(p.rows), "\n")
		}
		if len(p.list) > 0 {
			text = "- " + strings.Join(p.list, "\n- ")
		}
		if p.heading != "" {
			text = p.heading + ":\n" + text
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, "\n\n") + "\n"
}

// lines writes a table for text that is not set in letters of one width: what the numbers
// are, then a line for each shoe.
func lines(rows [][]string) []string {
	text := []string{strings.Join(rows[0], "; ") + ":"}
	for _, row := range rows[1:] {
		line := row[0] + ": " + row[1]
		for _, cell := range row[2:] {
			if cell != "-" {
				line += "; " + cell
			}
		}
		text = append(text, line)
	}
	return text
}

// Markdown writes the summary for a post.
func (s Summary) Markdown() string {
	var b strings.Builder
	for i, p := range s.parts() {
		switch {
		// The first part is the title.
		case i == 0:
			b.WriteString("## " + markdown(p.text) + "\n\n")
			continue
		case p.heading != "":
			b.WriteString("### " + markdown(p.heading) + "\n\n")
		}
		switch {
		// A table, a list or a paragraph.
		case len(p.rows) > 0:
			for r, row := range p.rows {
				cells := make([]string, len(row))
				for c := range row {
					cells[c] = markdown(row[c])
				}
				b.WriteString("| " + strings.Join(cells, " | ") + " |\n")
				if r == 0 {
					b.WriteString(strings.Repeat("|---", len(row)) + "|\n")
				}
			}
		case len(p.list) > 0:
			for _, line := range p.list {
				b.WriteString("- " + markdown(line) + "\n")
			}
		default:
			b.WriteString(markdown(p.text) + "\n")
		}
		b.WriteString("\n")
	}
	return strings.TrimRight(b.String(), "\n") + "\n"
}

// markdown takes the meaning from letters that have one in Markdown.
func markdown(text string) string {
	var b strings.Builder
	for _, r := range strings.ReplaceAll(text, "\n", " ") {
		if strings.ContainsRune("\\`*_[]<>|#", r) {
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	return b.String()
}

// HTML writes the summary as a fragment of a page.
func (s Summary) HTML() string {
	var b strings.Builder
	b.WriteString("<section>\n")
	for i, p := range s.parts() {
		switch {
		case i == 0:
			b.WriteString("<h2>" + html.EscapeString(p.text) + "</h2>\n")
			continue
		case p.heading != "":
			b.WriteString("<h3>" + html.EscapeString(p.heading) + "</h3>\n")
		}
		switch {
		case len(p.rows) > 0:
			b.WriteString(htmlTable(p.rows))
		case len(p.list) > 0:
			b.WriteString("<ul>\n")
			for _, line := range p.list {
				b.WriteString("<li>" + html.EscapeString(line) + "</li>\n")
			}
			b.WriteString("</ul>\n")
		default:
			b.WriteString("<p>" + html.EscapeString(p.text) + "</p>\n")
		}
	}
	return b.String() + "</section>\n"
}

func htmlTable(rows [][]string) string {
	var b strings.Builder
	b.WriteString("<table>\n<thead><tr>")
	for _, cell := range rows[0] {
		b.WriteString(`<th scope="col">` + html.EscapeString(cell) + "</th>")
	}
	b.WriteString("</tr></thead>\n<tbody>\n")
	for _, row := range rows[1:] {
		b.WriteString(`<tr><th scope="row"><bdi>` + html.EscapeString(row[0]) + "</bdi></th>")
		for _, cell := range row[1:] {
			b.WriteString("<td>" + html.EscapeString(cell) + "</td>")
		}
		b.WriteString("</tr>\n")
	}
	return b.String() + "</tbody>\n</table>\n"
}

// part is one of a text, a table with its heads first, or a list; the first is the title.
type part struct {
	heading, text string
	rows          [][]string
	list          []string
}

func (s Summary) parts() []part {
	var parts []part
	text := func(heading, text string) {
		if text != "" {
			parts = append(parts, part{heading: heading, text: text})
		}
	}
	list := func(heading string, lines []string) {
		if len(lines) > 0 {
			parts = append(parts, part{heading: heading, list: lines})
		}
	}
	// In the order in which they are read: the answer, how sure, and whose it is.
	text("", s.Title)
	text("", s.Invented)
	text("", s.Answer)
	if len(s.Rows) > 0 {
		parts = append(parts, part{rows: append([][]string{s.Columns}, s.Rows...)})
	}
	list("How it was tested", s.Tested)
	list("Doubts", s.Doubts)
	list("What would make it stronger", s.Stronger)
	text("Disclosure", s.Disclosure)
	text("Before you try this yourself", s.Caution)
	text("Every number", s.Address)
	text("How to cite", s.Cite)
	return parts
}

// ShortLength is how many characters [Summary.Short] has at most as text: what fits where
// descriptions are short.
const ShortLength = 1500

// Short leaves out what matters least until the text is short: first what would make the
// evidence stronger and what supports the answer, then shoes far behind, then doubts but
// the first, then how to cite. The answer, the mark of invented data, the disclosure, the
// caution and the address stay; where they alone are longer, disclosure, title and answer
// are cut, in this order.
func (s Summary) Short() Summary {
	fits := func() bool { return utf8.RuneCountInString(s.Text()) <= ShortLength }
	s.Stronger = nil
	for !fits() && len(s.Tested) > 1 {
		s.Tested = s.Tested[:len(s.Tested)-1]
	}
	for !fits() && len(s.Rows) > 3 {
		s.Rows = s.Rows[:len(s.Rows)-1]
	}
	for !fits() && len(s.Doubts) > 1 {
		s.Doubts = s.Doubts[:len(s.Doubts)-1]
	}
	for _, field := range []*string{&s.Cite, &s.Disclosure, &s.Title, &s.Answer} {
		if over := utf8.RuneCountInString(s.Text()) - ShortLength; over > 0 {
			*field = cutBy(*field, over)
		}
	}
	return s
}

// cutBy shortens a text by so many characters and marks the cut; "" where nothing is left.
func cutBy(text string, by int) string {
	letters := []rune(text)
	if left := len(letters) - by - 1; left > 10 {
		return string(letters[:left]) + "…"
	}
	return ""
}
