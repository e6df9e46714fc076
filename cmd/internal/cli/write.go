package cli

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// writeFiles writes each file whole, by temporary file and rename, in path
// order. It leaves files alone that already hold those bytes and returns the
// paths it changed. Paths are slash-separated and relative to dir.
func writeFiles(dir string, files map[string][]byte) (changed []string, err error) {
	for _, path := range sortedPaths(files) {
		full := filepath.Join(dir, filepath.FromSlash(path))
		old, err := os.ReadFile(full)
		if err == nil && bytes.Equal(old, files[path]) {
			continue
		}
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return changed, usage("", "cannot read %q: %v", full, err)
		}
		if err := os.MkdirAll(filepath.Dir(full), 0o777); err != nil {
			return changed, usage("", "cannot make the folder of %q: %v", full, err)
		}
		if err := writeWhole(full, files[path]); err != nil {
			return changed, usage("", "cannot write %q: %v", full, err)
		}
		changed = append(changed, path)
	}
	return changed, nil
}

// wrote prints the paths that a command changed, or says what it means that
// there are none.
func (a *app) wrote(changed []string, none string) error {
	if a.json {
		return a.printJSON(map[string]any{"written": append([]string{}, changed...)})
	}
	for _, path := range changed {
		a.printf("%s\n", path)
	}
	if len(changed) == 0 {
		a.say("%s", none)
	}
	return nil
}

func sortedPaths(files map[string][]byte) []string {
	paths := make([]string, 0, len(files))
	for path := range files {
		paths = append(paths, path)
	}
	slices.Sort(paths)
	return paths
}
