//go:build unix

package dataset

import (
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"testing"
)

// A pipe that came into the place of a file or of a session's folder after the
// listing is not waited for.
func TestPipesAreNotWaitedFor(t *testing.T) {
	name := sessionFolder(0) + "blocks.csv"
	for _, replaced := range []string{name, sessionFolder(0)} {
		dir, w := openFixture(t)
		at := filepath.Join(dir, replaced)
		if err := os.RemoveAll(at); err != nil {
			t.Fatal(err)
		}
		if err := syscall.Mkfifo(at, 0o666); err != nil {
			t.Skipf("no pipes here: %v", err)
		}
		if _, err := fs.ReadFile(w, name); err == nil {
			t.Errorf("%s is a pipe, and %s is read", replaced, name)
		}
		if w.Unchanged() == nil {
			t.Errorf("%s is a pipe, and all is unchanged", replaced)
		}
	}
}
