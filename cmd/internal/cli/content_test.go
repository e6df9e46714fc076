package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// inPieces cuts a text at random places.
func inPieces(t *rapid.T, text string) content {
	var pieces [][]byte
	for len(text) > 0 {
		n := rapid.IntRange(1, len(text)).Draw(t, "piece")
		pieces, text = append(pieces, []byte(text[:n])), text[n:]
	}
	return content{pieces: func(yield func([]byte) bool) {
		room := []byte{}
		for _, piece := range pieces {
			room = append(room[:0], piece...) // good until the next only
			if !yield(room) {
				return
			}
		}
	}}
}

// However a text is cut: a file that holds it holds it, and no other file does.
func TestContentInPieces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := strings.Repeat("row,1.25\n", rapid.SampledFrom([]int{1, 20_000}).Draw(t, "rows"))
		text := unit + rapid.String().Draw(t, "end")
		c := inPieces(t, text)
		for file, want := range map[string]bool{text: true, text + "x": false, text[:len(text)-1]: false, "x" + text[1:]: text[0] == 'x', "": false} {
			if got, err := c.holds(strings.NewReader(file)); got != want || err != nil {
				t.Fatalf("%v %v, want %v", got, err, want)
			}
		}
		if got := string(allOf(c)); got != text {
			t.Fatalf("%d bytes came of %d", len(got), len(text))
		}
	})
}

func allOf(c content) (text []byte) {
	for piece := range c.all() {
		text = append(text, piece...)
	}
	return text
}

// Pieces replace a file that holds anything else, and nothing else; a file that holds
// them stays the one it is.
func TestPiecesAreWrittenWhereTheyDiffer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dir, err := os.MkdirTemp("", "pieces")
		if err != nil {
			t.Fatal(err)
		}
		defer os.RemoveAll(dir)
		path := filepath.Join(dir, "table.csv")
		text := rapid.StringMatching(`[a-c\n]{0,9}`).Draw(t, "text")
		was := rapid.OneOf(rapid.Just(text), rapid.StringMatching(`[a-c\n]{0,9}`)).Draw(t, "was")
		before := rapid.Bool().Draw(t, "is there")
		if before {
			if err := os.WriteFile(path, []byte(was), 0o640); err != nil {
				t.Fatal(err)
			}
		}
		old, _ := os.Stat(path)
		changed, err := writeFiles(dir, map[string]content{"table.csv": inPieces(t, text)}, anyway)
		if err != nil {
			t.Fatal(err)
		}
		same := before && was == text
		now, err := os.Stat(path)
		is, _ := os.ReadFile(path)
		entries, _ := os.ReadDir(dir)
		switch {
		case err != nil || string(is) != text || len(entries) != 1:
			t.Fatalf("%q is there (%v), want %q; %d entries", is, err, text, len(entries))
		case (len(changed) == 0) != same:
			t.Fatalf("%q said to be changed, from %q to %q", changed, was, text)
		case before && os.SameFile(old, now) != same:
			t.Fatalf("it is another file: %v, want %v", !os.SameFile(old, now), !same)
		case before && now.Mode() != old.Mode():
			t.Fatalf("mode %v, before %v", now.Mode(), old.Mode())
		}
	})
}
