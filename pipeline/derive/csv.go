package derive

import "strings"

// csvText builds a table cell by cell: LF, commas, quotes only where needed.
type csvText struct {
	text []byte
	open bool // a cell of the current row has been written
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

func (w *csvText) end() {
	w.text = append(w.text, '\n')
	w.open = false
}
