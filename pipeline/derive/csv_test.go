package derive

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// What is written is what a reader of RFC 4180 reads, and quotes stand only where
// something in a cell calls for them.
func TestCellsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cells := rapid.SliceOfN(rapid.StringOf(rapid.RuneFrom([]rune("ab é;,\"\n"))), 2, 5).Draw(t, "cells")
		var w csvText
		for _, cell := range cells {
			w.str(cell)
		}
		w.end()
		row, err := csv.NewReader(bytes.NewReader(w.text)).Read()
		if err != nil || !slices.Equal(row, cells) {
			t.Fatalf("%q reads as %q, %v, want %q", w.text, row, err, cells)
		}
		called := slices.ContainsFunc(cells, func(s string) bool {
			return strings.ContainsAny(s, ",\"\r\n") ||
				strings.HasPrefix(s, " ")
		})
		if quoted := bytes.Contains(w.text, []byte(`"`)); quoted != called {
			t.Fatalf("%q has quotes: %v, want %v", w.text, quoted, called)
		}
	})
}
