package dataset

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// openFixture is a small dataset of which everything has been read.
func openFixture(t *testing.T) (dir string, folder *Folder) {
	t.Helper()
	dir = t.TempDir()
	for name, text := range fixture(3) {
		writeFile(t, filepath.Join(dir, name), text)
	}
	w, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(w.Close)
	for name, text := range fixture(3) {
		got, err := fs.ReadFile(w, name)
		if err != nil {
			t.Fatal(err)
		}
		if string(got) != text {
			t.Fatalf("%s reads as %q, want %q", name, got, text)
		}
	}
	return dir, w
}

// Whatever happens to what was read is an error, and of several changes the first by
// name is in it; what was moved away and back is unchanged.
func TestUnchanged(t *testing.T) {
	first, second := sessionFolder(0)+"blocks.csv", sessionFolder(2)+"pod.csv"
	for what, c := range map[string]struct {
		change func(dir string) error
		want   string // the path that is named, "" for none
	}{
		"nothing": {func(string) error { return nil }, ""},
		"another text": {func(dir string) error {
			return os.WriteFile(filepath.Join(dir, second), []byte("x"), 0o666)
		}, second},
		"two texts": {func(dir string) error {
			for _, name := range []string{second, first, "shoes.csv"} {
				if err := os.WriteFile(filepath.Join(dir, name), []byte("x"), 0o666); err != nil {
					return err
				}
			}
			return nil
		}, first},
		"one session fewer": {func(dir string) error { return os.RemoveAll(filepath.Join(dir, sessionFolder(0))) },
			first},
		"no sessions": {func(dir string) error {
			return os.Rename(filepath.Join(dir, "sessions"), filepath.Join(dir, "elsewhere"))
		}, first},
		"moved away and back": {awayAndBack, ""},
		"other sessions in their place": {func(dir string) error {
			if err := os.Rename(filepath.Join(dir, "sessions"), filepath.Join(dir, "elsewhere")); err != nil {
				return err
			}
			return os.MkdirAll(filepath.Join(dir, sessionFolder(0)), 0o777)
		}, first},
		"a link in the place of a file": {func(dir string) error {
			at := filepath.Join(dir, first)
			if err := os.Rename(at, filepath.Join(dir, "moved.csv")); err != nil {
				return err
			}
			return os.Symlink("../../moved.csv", at)
		}, first},
		"a folder in the place of a file": {func(dir string) error {
			at := filepath.Join(dir, first)
			if err := os.Remove(at); err != nil {
				return err
			}
			return os.Mkdir(at, 0o777)
		}, first},
	} {
		dir, w := openFixture(t)
		if err := w.Unchanged(); err != nil {
			t.Fatal(err)
		}
		if err := c.change(dir); err != nil {
			t.Fatal(err)
		}
		switch err := w.Unchanged(); {
		case c.want == "" && err != nil:
			t.Errorf("%s: got %v", what, err)
		case c.want != "" && (err == nil || !strings.Contains(err.Error(),
			fmt.Sprintf("%q changed while it was read", c.want))):
			t.Errorf("%s: got %v, want %q named", what, err, c.want)
		}
	}
}

func awayAndBack(dir string) error {
	if err := os.Rename(filepath.Join(dir, "sessions"), filepath.Join(dir, "elsewhere")); err != nil {
		return err
	}
	return os.Rename(filepath.Join(dir, "elsewhere"), filepath.Join(dir, "sessions"))
}

// An error names the whole path, and nothing outside the dataset is opened.
func TestLinksAreNotFollowed(t *testing.T) {
	dir, w := openFixture(t)
	outside := filepath.Join(t.TempDir(), "secret.csv")
	writeFile(t, outside, "secret")
	for name, target := range map[string]string{"blocks.csv": outside, "pod.csv": "../../../" +
		filepath.Base(filepath.Dir(outside)) + "/secret.csv"} {
		at := filepath.Join(dir, sessionFolder(1)+name)
		if err := os.Remove(at); err != nil {
			t.Fatal(err)
		}
		if err := os.Symlink(target, at); err != nil {
			t.Fatal(err)
		}
	}
	for _, name := range []string{sessionFolder(1) + "blocks.csv", sessionFolder(1) + "pod.csv", sessionFolder(1) +
		"none.csv", "none.csv"} {
		if text, err := fs.ReadFile(w, name); err == nil {
			t.Errorf("%s is read: %q", name, text)
		} else if p, is := err.(*fs.PathError); !is || p.Path != name {
			t.Errorf("got %v, want the path %q in it", err, name)
		}
	}
}
