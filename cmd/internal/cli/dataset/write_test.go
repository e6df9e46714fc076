package dataset

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"soletrial/cmd/internal/cli/voice"
)

// Where the second of two folders cannot be written, the first is as it was: what
// was replaced is back, what was new is gone.
func TestFailedCommitIsUndone(t *testing.T) {
	dir := t.TempDir()
	writeFile(t, filepath.Join(dir, "a/old.csv"), "old")
	writeFile(t, filepath.Join(dir, "b/c.csv/inside"), "in the way")
	root, err := os.OpenRoot(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer root.Close()
	s := newStage(dir, root)
	paths := []string{"a/new.csv", "a/old.csv", "b/c.csv"}
	for _, path := range paths {
		if err := s.add(path, []byte("new")); err != nil {
			t.Fatal(err)
		}
	}
	err = s.commit(paths)
	s.discard()
	if f, ok := err.(*voice.Failure); !ok || f.Hint != "nothing was written" {
		t.Errorf("got %#v", err)
	}
	holdsOnly(t, dir, map[string]string{"a/old.csv": "old", "b/c.csv/inside": "in the way"})
	if _, err := os.Lstat(filepath.Join(dir, "a/new.csv")); err == nil {
		t.Error("a/new.csv is still there")
	}
}

// Of files only those are written that hold anything else, with the rights they had;
// where all hold what they should, nothing in the folder is touched.
func TestOnlyChangedFilesAreWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dir, err := os.MkdirTemp("", "write")
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
		anHourAgo := time.Now().Add(-time.Hour).Truncate(time.Second)
		if err := os.Chtimes(dir, anHourAgo, anHourAgo); err != nil {
			t.Fatal(err)
		}
		changed, err := Write(dir, map[string][]byte{"table.csv": []byte(text)}, nil)
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
		case same && !folder.ModTime().Equal(anHourAgo):
			t.Fatal("something was in the folder meanwhile, which may be one that nobody can write to")
		case before && os.SameFile(old, now) != same:
			t.Fatalf("it is another file: %v, want %v", !os.SameFile(old, now), !same)
		case before && now.Mode() != old.Mode():
			t.Fatalf("mode %v, before %v", now.Mode(), old.Mode())
		}
	})
}

// Whether the dataset is unchanged is asked when everything is on the disk, and nothing
// is in its place yet.
func TestUnchangedIsAskedLast(t *testing.T) {
	dir := t.TempDir()
	writeFile(t, filepath.Join(dir, "a.csv"), "old")
	refusal := errors.New("changed meanwhile")
	files := map[string][]byte{"a.csv": []byte("new"), "b/c.csv": []byte("another")}
	_, err := Write(dir, files, func() error {
		for name, want := range files {
			staged, _ := filepath.Glob(filepath.Join(dir, StagePrefix+"*", name))
			if len(staged) != 1 {
				t.Fatalf("%q are staged for %s", staged, name)
			}
			if text, err := os.ReadFile(staged[0]); string(text) != string(want) || err != nil {
				t.Errorf("%q (%v) is staged for %s, want %q", text, err, name, want)
			}
		}
		if text, _ := os.ReadFile(filepath.Join(dir, "a.csv")); string(text) != "old" {
			t.Errorf("a.csv holds %q already", text)
		}
		return refusal
	})
	if !errors.Is(err, refusal) {
		t.Errorf("got %v", err)
	}
	holdsOnly(t, dir, map[string]string{"a.csv": "old"})
	if _, err := os.Lstat(filepath.Join(dir, "b")); err == nil {
		t.Error("a folder was made")
	}
}

// A file that cannot be brought to the disk fails all.
func TestFailedSyncFailsAll(t *testing.T) {
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
	file.Close() // so that it cannot be brought to the disk
	s := newStage(dir, root)
	if err := s.syncLater(file, "a.csv", nil); err != nil {
		t.Fatal(err)
	}
	if err := s.wait(); err == nil || !strings.HasPrefix(err.Error(), "cannot write ") ||
		!strings.Contains(err.Error(), "a.csv") {
		t.Errorf("got %v", err)
	}
}

// What changed between reading and writing is not overwritten.
func TestChangedFilesAreNotOverwritten(t *testing.T) {
	for name, change := range map[string]func(dir string) error{
		"another text": func(dir string) error {
			return os.WriteFile(filepath.Join(dir, "shoes.csv"),
				[]byte("edited"), 0o666)
		},
		"gone":          func(dir string) error { return os.Remove(filepath.Join(dir, "shoes.csv")) },
		"one file more": func(dir string) error { return os.WriteFile(filepath.Join(dir, "more.csv"), nil, 0o666) },
		"nothing":       func(dir string) error { return nil },
		"a hidden file": func(dir string) error {
			return os.WriteFile(filepath.Join(dir, ".shoes.csv.swp"), nil,
				0o666)
		},
	} {
		dir := t.TempDir()
		writeFile(t, filepath.Join(dir, "shoes.csv"), "read")
		folder, err := Open(dir)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := fs.ReadDir(folder, "."); err != nil {
			t.Fatal(err)
		}
		if _, err := fs.ReadFile(folder, "shoes.csv"); err != nil {
			t.Fatal(err)
		}
		if err := change(dir); err != nil {
			t.Fatal(err)
		}
		_, err = Write(dir, map[string][]byte{"shoes.csv": []byte("tidied")}, folder.Unchanged)
		if fine := name == "nothing" || name == "a hidden file"; fine != (err == nil) || !fine &&
			!strings.Contains(err.Error(), "changed while it was read") {
			t.Errorf("%s: got %v", name, err)
		}
		folder.Close()
	}
}

// What is in the way of a file is named for what it is.
func TestObstaclesAreNamed(t *testing.T) {
	for want, make := range map[string]func(path string) error{
		"is a folder, not a file":   func(path string) error { return os.Mkdir(path, 0o777) },
		"is a link or a device":     func(path string) error { return os.Symlink("elsewhere", path) },
		"its folder is a link, not": func(path string) error { return os.Symlink(".", filepath.Dir(path)) },
	} {
		dir := t.TempDir()
		path := filepath.Join(dir, "b", "c.csv")
		if !strings.HasPrefix(want, "its") {
			if err := os.Mkdir(filepath.Dir(path), 0o777); err != nil {
				t.Fatal(err)
			}
		}
		if err := make(path); err != nil {
			t.Skip("no links to be had here: ", err)
		}
		files := map[string][]byte{"a.csv": []byte("new"), "b/c.csv": []byte("new")}
		if _, err := Write(dir, files, nil); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, want %q", err, want)
		}
		if _, err := os.Lstat(filepath.Join(dir, "a.csv")); err == nil {
			t.Errorf("%s: the other file was written", want)
		}
	}
}
