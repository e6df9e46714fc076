package derive

import (
	"strconv"
	"strings"

	"soletrial/pipeline/units"
)

// csvText builds a table cell by cell: LF, commas, quotes only where needed.
type csvText struct {
	text []byte
	open bool // a cell of the current row has been written
}

func newCSV(headings ...string) *csvText {
	w := &csvText{}
	for _, h := range headings {
		w.str(h)
	}
	w.end()
	return w
}

// expect makes room for some rows of about so many bytes each.
func (w *csvText) expect(rows, bytes int) {
	w.text = append(make([]byte, 0, len(w.text)+rows*bytes), w.text...)
}

func (w *csvText) next() {
	if w.open {
		w.text = append(w.text, ',')
	}
	w.open = true
}

func (w *csvText) str(s string) {
	w.next()
	if !plain(s) {
		s = `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
	}
	w.text = append(w.text, s...)
}

// plain reports whether a cell needs no quotes.
func plain(s string) bool {
	for i := range len(s) {
		switch s[i] {
		case ',', '"', '\r', '\n':
			return false
		}
	}
	return !strings.HasPrefix(s, " ")
}

func (w *csvText) num(x float64, decimals int) {
	w.next()
	w.text = units.AppendDecimal(w.text, x, decimals)
}

// significant writes a number with six significant digits.
func (w *csvText) significant(x float64) {
	w.next()
	w.text = append(w.text, units.FormatSignificant(x, 6)...)
}

func (w *csvText) count(n int) {
	w.next()
	w.text = strconv.AppendInt(w.text, int64(n), 10)
}

func (w *csvText) yes(b bool) {
	if b {
		w.str("yes")
	} else {
		w.str("no")
	}
}

func (w *csvText) end() {
	w.text = append(w.text, '\n')
	w.open = false
}
