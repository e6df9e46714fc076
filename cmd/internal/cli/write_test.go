package cli

import (
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"soletrial/cmd/internal/cli/voice"
)

func put(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

func leaves(t *testing.T, dir string, want map[string]string) {
	t.Helper()
	for name, text := range want {
		if is, err := os.ReadFile(filepath.Join(dir, name)); string(is) != text {
			t.Errorf("%s holds %q (%v), want %q", name, is, err, text)
		}
	}
	if left, _ := filepath.Glob(filepath.Join(dir, stagePrefix+"*")); len(left) > 0 {
		t.Errorf("%q is left", left)
	}
}

// Where the second of two folders cannot be written, the first is as it was: what
// was replaced is back, what was new is gone.
func TestWhatCannotBeFinishedIsTakenBack(t *testing.T) {
	dir := t.TempDir()
	put(t, filepath.Join(dir, "a/old.csv"), "old")
	put(t, filepath.Join(dir, "b/c.csv/inside"), "in the way")
	root, err := os.OpenRoot(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer root.Close()
	s := newStage(dir, root)
	paths := []string{"a/new.csv", "a/old.csv", "b/c.csv"}
	for _, path := range paths {
		if same, err := s.put(path, content{text: []byte("new")}); same || err != nil {
			t.Fatal(same, err)
		}
	}
	err = s.settle(paths)
	s.remove()
	if f, ok := err.(*voice.Failure); !ok || f.Hint != "nothing was written" {
		t.Errorf("told %#v", err)
	}
	leaves(t, dir, map[string]string{"a/old.csv": "old", "b/c.csv/inside": "in the way"})
	if _, err := os.Lstat(filepath.Join(dir, "a/new.csv")); err == nil {
		t.Error("a/new.csv is still there")
	}
}

// What changed between reading and writing is not written over.
func TestWhatChangedMeanwhileIsNotWrittenOver(t *testing.T) {
	for name, change := range map[string]func(dir string) error{
		"another text":  func(dir string) error { return os.WriteFile(filepath.Join(dir, "shoes.csv"), []byte("edited"), 0o666) },
		"gone":          func(dir string) error { return os.Remove(filepath.Join(dir, "shoes.csv")) },
		"one file more": func(dir string) error { return os.WriteFile(filepath.Join(dir, "more.csv"), nil, 0o666) },
		"nothing":       func(dir string) error { return nil },
		"a hidden file": func(dir string) error { return os.WriteFile(filepath.Join(dir, ".shoes.csv.swp"), nil, 0o666) },
	} {
		dir := t.TempDir()
		put(t, filepath.Join(dir, "shoes.csv"), "read")
		root, err := os.OpenRoot(dir)
		if err != nil {
			t.Fatal(err)
		}
		a := &app{Console: voice.Console{Dataset: dir}, reading: watch(root)}
		if _, err := fs.ReadDir(a.reading, "."); err != nil {
			t.Fatal(err)
		}
		if _, err := fs.ReadFile(a.reading, "shoes.csv"); err != nil {
			t.Fatal(err)
		}
		if err := change(dir); err != nil {
			t.Fatal(err)
		}
		_, err = a.write(map[string][]byte{"shoes.csv": []byte("tidied")})
		if fine := name == "nothing" || name == "a hidden file"; fine != (err == nil) || !fine && !strings.Contains(err.Error(), "changed while it was read") {
			t.Errorf("%s: told %v", name, err)
		}
		root.Close()
	}
}

// What is in the way of a file is told for what it is.
func TestWhatIsInTheWay(t *testing.T) {
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
		files := map[string]content{"a.csv": {text: []byte("new")}, "b/c.csv": {pieces: slices.Values([][]byte{[]byte("new")})}}
		if _, err := writeFiles(dir, files, anyway); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("told %v, want %q", err, want)
		}
		if _, err := os.Lstat(filepath.Join(dir, "a.csv")); err == nil {
			t.Errorf("%s: the other file was written", want)
		}
	}
}
