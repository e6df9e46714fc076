package site

import "strings"

// table is a table as pages show it. The first cell of each row is its heading.
type table struct {
	Caption string
	Head    []column
	Rows    [][]cell
	Cards   bool // rows become cards where the page is narrow
	Dense   bool // cards with several cells in a line, headed by the name of the first column
}

type column struct {
	Text   string
	Number bool
}

// cell is text, or a link when Href is set, or a shoe when Shoe is. Other is the text in the
// units of people who think in miles.
type cell struct {
	Text, Href, Note string
	Other            string
	Number, Code     bool
	Shoe             *shoe
	Shoes            []shoe
}

// columns makes headings; one that starts with # is above numbers.
func columns(names ...string) []column {
	head := make([]column, len(names))
	for i, name := range names {
		head[i] = column{Text: name}
		if name[0] == '#' {
			head[i] = column{Text: name[1:], Number: true}
		}
	}
	return head
}

func text(s string) cell       { return cell{Text: s} }
func numeric(s string) cell    { return cell{Text: s, Number: true} }
func link(s, href string) cell { return cell{Text: s, Href: href} }
func shoeCell(s shoe) cell     { return cell{Shoe: &s} }

// Class tells the style sheet how the cell may break: numbers and short texts
// never, long texts with room to do so.
func (c cell) Class() string {
	switch {
	case c.Number:
		return "number"
	case len(c.Shoes) > 0:
		return "run"
	case c.Shoe != nil || len(c.Text) <= 14 && c.Note == "":
		return "short"
	case strings.HasPrefix(c.Href, "#") && len(c.Text) <= 20:
		return "short"
	case c.Href != "":
		return "path"
	}
	return "long"
}
