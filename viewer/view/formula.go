package view

import (
	"bytes"
	"encoding/csv"
	"strings"

	"soletrial/pipeline/units"
)

// withoutFormulas returns a table in which no cell is one that a spreadsheet would run as a
// formula: an apostrophe goes before text that begins with =, +, -, @, a tab or a carriage
// return, as OWASP advises against CSV injection (from memory). Numbers stay as they are.
func withoutFormulas(table []byte) []byte {
	rows, err := csv.NewReader(bytes.NewReader(table)).ReadAll()
	if err != nil {
		return table
	}
	changed := false
	for _, row := range rows {
		for i, cell := range row {
			if runs(cell) {
				row[i], changed = "'"+cell, true
			}
		}
	}
	if !changed {
		return table
	}
	var text bytes.Buffer
	w := csv.NewWriter(&text)
	if err := w.WriteAll(rows); err != nil {
		return table
	}
	return text.Bytes()
}

func runs(cell string) bool {
	if cell == "" || !strings.ContainsAny(cell[:1], "=+-@\t\r") {
		return false
	}
	_, err := units.ParseDecimal(cell)
	return err != nil
}
