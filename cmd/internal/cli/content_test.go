package cli

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

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
		long := time.Now().Add(-time.Hour).Truncate(time.Second)
		if err := os.Chtimes(dir, long, long); err != nil {
			t.Fatal(err)
		}
		changed, err := writeFiles(dir, map[string]content{"table.csv": inPieces(t, text)}, anyway)
		if err != nil {
			t.Fatal(err)
		}
		same := before && was == text
		now, err := os.Stat(path)
		is, _ := os.ReadFile(path)
		entries, _ := os.ReadDir(dir)
		folder, _ := os.Stat(dir)
		switch {
		case err != nil || string(is) != text || len(entries) != 1:
			t.Fatalf("%q is there (%v), want %q; %d entries", is, err, text, len(entries))
		case (len(changed) == 0) != same:
			t.Fatalf("%q said to be changed, from %q to %q", changed, was, text)
		case same && !folder.ModTime().Equal(long):
			t.Fatal("something was in the folder meanwhile, which may be one that nobody can write to")
		case before && os.SameFile(old, now) != same:
			t.Fatalf("it is another file: %v, want %v", !os.SameFile(old, now), !same)
		case before && now.Mode() != old.Mode():
			t.Fatalf("mode %v, before %v", now.Mode(), old.Mode())
		}
	})
}

// The dataset is looked at when everything is down on the disk, and nothing is in its
// place yet.
func TestStillIsAskedLast(t *testing.T) {
	dir := t.TempDir()
	put(t, filepath.Join(dir, "a.csv"), "old")
	gone := errors.New("changed meanwhile")
	files := map[string]content{"a.csv": {text: []byte("new")}, "b/c.csv": {pieces: slices.Values([][]byte{[]byte("pie"), []byte("ces")})}}
	_, err := writeFiles(dir, files, func() error {
		for name, want := range map[string]string{"a.csv": "new", "b/c.csv": "pieces"} {
			staged, _ := filepath.Glob(filepath.Join(dir, stagePrefix+"*", name))
			if len(staged) != 1 {
				t.Fatalf("%q are staged for %s", staged, name)
			}
			if text, err := os.ReadFile(staged[0]); string(text) != want || err != nil {
				t.Errorf("%q (%v) is staged for %s, want %q", text, err, name, want)
			}
		}
		if text, _ := os.ReadFile(filepath.Join(dir, "a.csv")); string(text) != "old" {
			t.Errorf("a.csv holds %q already", text)
		}
		return gone
	})
	if !errors.Is(err, gone) {
		t.Errorf("told %v", err)
	}
	leaves(t, dir, map[string]string{"a.csv": "old"})
	if _, err := os.Lstat(filepath.Join(dir, "b")); err == nil {
		t.Error("a folder was made")
	}
}

// A file that does not get down to the disk fails all.
func TestWhatDoesNotGetDownIsTold(t *testing.T) {
	dir := t.TempDir()
	root, err := os.OpenRoot(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer root.Close()
	file, err := root.Create("a.csv")
	if err != nil {
		t.Fatal(err)
	}
	file.Close() // so that it cannot be forced down
	s := newStage(dir, root)
	if err := s.send(file, "a.csv", nil); err != nil {
		t.Fatal(err)
	}
	if err := s.wait(); err == nil || !strings.HasPrefix(err.Error(), "cannot write ") || !strings.Contains(err.Error(), "a.csv") {
		t.Errorf("told %v", err)
	}
}
