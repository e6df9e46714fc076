package plaintext

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"soletrial/pipeline/english"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// cell is one field of a table row: its text as written, blank text for blank
// or absent, and where it stands.
type cell struct {
	column string
	text   string
	at     trial.Position
}

func (c cell) blank() bool { return c.text == "" }

// complain notes a problem with the cell, naming its column.
func (r *report) complain(c cell, hint, format string, args ...any) {
	r.add(trial.Problem{At: c.at, Message: c.column + ": " + fmt.Sprintf(format, args...), Hint: hint})
}

// span says which numbers a place takes. An open span leaves out its low end.
type span struct {
	low, high float64
	open      bool
	words     string
}

var (
	anyNumber = span{words: ""}
	positive  = span{low: 0, open: true, high: 1e12, words: "write a number above 0"}
	atLeast0  = span{low: 0, high: 1e12, words: "write 0 or more"}
	atLeast1  = span{low: 1, high: 1e12, words: "write 1 or more"}
	zeroToTen = span{low: 0, high: 10, words: "write 0 to 10"}
	zeroTo100 = span{low: 0, high: 100, words: "write 0 to 100"}
)

func (s span) holds(x float64) bool {
	return s.words == "" || x >= s.low && x <= s.high && !(s.open && x == s.low)
}

// number reads an optional decimal of a table that tidy takes units off; blank is missing.
func (r *report) number(c cell, allowed span) float64 {
	x := r.decimal(c, true)
	if units.Known(x) && !allowed.holds(x) {
		r.complain(c, allowed.words, "%s is out of range", c.text)
		return units.Missing
	}
	return x
}

// decimal reads an optional decimal; blank is missing, and so is what is none, which is noted.
// Mended says that tidy takes units off where the cell stands.
func (r *report) decimal(c cell, mended bool) float64 {
	if c.blank() {
		return units.Missing
	}
	x, err := units.ParseDecimal(c.text)
	if err != nil {
		message, hint := syntax(err)
		if _, unit := withoutUnit(c.column, c.text); mended && unit {
			hint += "; tidy does"
		}
		r.complain(c, hint, "%s", message)
		return units.Missing
	}
	return x
}

// text reads free text of one line.
func (r *report) text(c cell) string {
	if bad := strings.IndexFunc(c.text, unicode.IsControl); bad >= 0 {
		r.complain(c, "write the text on one line, without tabs", "%s contains a control "+
			"character", strconv.Quote(c.text))
	}
	return c.text
}

// label reads text that must be there.
func (r *report) label(c cell) string {
	if c.blank() {
		r.complain(c, "write a name for people to read", "is blank")
	}
	return r.text(c)
}

const (
	slugHint    = "use lower-case letters, digits, dot, dash and underscore, starting with a letter or digit"
	blockIDHint = "use letters, digits, dot, dash and underscore, starting with a letter or digit"
)

const (
	slugLetters  = "abcdefghijklmnopqrstuvwxyz0123456789"
	blockLetters = slugLetters + "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
)

// isID reports whether text is made of the letters, dots, dashes and underscores
// and starts with one of the letters.
func isID(text, letters string) bool {
	return text != "" && strings.IndexByte(letters, text[0]) >= 0 && strings.Trim(text, letters+"._-") == ""
}

// id reads a name that must be there, be made of the letters and not be taken.
func (r *report) id(c cell, letters, hint string, taken map[string]int) string {
	switch first, isTaken := taken[c.text]; {
	case c.blank():
		r.complain(c, "give every row an id of its own", "is blank")
	case !isID(c.text, letters):
		r.complain(c, hint, "%q is not an id", c.text)
	case letters == slugLetters && !Portable(c.text): // those become names of files
		r.complain(c, portableHint, "not every system allows a file named %q", c.text)
	case isTaken:
		r.complain(c, "give every row an id of its own", "%q is already in line %d", c.text, first)
	default:
		taken[c.text] = c.at.Line
	}
	return c.text
}

// oneOf reads a word of a fixed list; blank stays blank.
func (r *report) oneOf(c cell, words []string) string {
	if !c.blank() && !slices.Contains(words, c.text) {
		r.complain(c, "write "+english.List(words, "or"), "%q is not known", c.text)
		return ""
	}
	return c.text
}

// currency reads the three letters of a currency (ISO 4217), which a price needs.
func (r *report) currency(c, price cell) string {
	switch {
	case c.blank() && !price.blank():
		r.complain(price, "write its three letters into the column currency, such as EUR", "the price has no currency")
	case !c.blank() && (len(c.text) != 3 || strings.Trim(c.text, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != ""):
		r.complain(c, "write its three letters by ISO 4217, such as EUR", "%q is not a currency", c.text)
	}
	return c.text
}
