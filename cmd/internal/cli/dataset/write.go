package dataset

import (
	"bytes"
	"cmp"
	"errors"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"

	"soletrial/cmd/internal/cli/voice"
)

// Write writes files into dir, each whole. All of them wait in a [stage] on the same
// disk until the last one is complete, so that a disk that is full changes nothing,
// and an interruption leaves every file as it was or as it should be; a folder that
// is new appears with everything in it. Files that already hold their text are left
// alone. unchanged is asked last, unless it is nil; where it has an error nothing is
// written. Write returns the paths it changed, which are slash-separated and relative
// to dir. The error is a [voice.Failure] or that of unchanged.
func Write(dir string, files map[string][]byte, unchanged func() error) (changed []string, err error) {
	// What is there, and which files differ.
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return nil, voice.Usage("", "cannot make the folder %q: %v", dir, voice.Reason(err))
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, voice.Usage("", "cannot open %q: %v", dir, voice.Reason(err))
	}
	defer root.Close()
	removeLeftovers(dir)
	for _, path := range slices.Sorted(maps.Keys(files)) {
		same, err := holdsText(root, path, files[path])
		if err != nil {
			return nil, voice.Usage("nothing was written", "cannot write %q: %v", filepath.Join(dir, path),
				voice.Reason(err))
		}
		if !same {
			changed = append(changed, path)
		}
	}
	if len(changed) == 0 {
		return nil, nil
	}
	// All of them to the disk, beside the old ones.
	s := newStage(dir, root)
	defer s.discard()
	for _, path := range changed {
		if err := s.add(path, files[path]); err != nil {
			return nil, s.writeFailure(path, err)
		}
	}
	if err := s.wait(); err != nil {
		return nil, err
	}
	// In their places.
	if unchanged != nil {
		if err := unchanged(); err != nil {
			return nil, err
		}
	}
	return changed, s.commit(changed)
}

// holdsText reports whether a file holds a text. It is an error when the file
// cannot be replaced, because it is a folder, or it or a folder on the way is a link
// or a device.
func holdsText(root *os.Root, path string, text []byte) (bool, error) {
	if err := checkFolders(root, path); err != nil {
		return false, err
	}
	info, err := root.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return false, nil
	case err != nil:
		return false, err
	case info.IsDir():
		return false, errIsFolder
	case !info.Mode().IsRegular():
		return false, errNotRegular
	case info.Size() != int64(len(text)):
		return false, nil
	}
	old, err := root.ReadFile(path)
	return bytes.Equal(old, text), err
}

// lastFiles are those that describe the others beside them. They come last, so that
// they never speak of something that is not there yet.
var lastFiles = []string{"inputs.sha256", "session.yaml"}

// compareOrder orders paths by folder, in each [lastFiles] last.
func compareOrder(a, b string) int {
	return cmp.Or(cmp.Compare(path.Dir(a), path.Dir(b)), cmp.Compare(rank(a), rank(b)), cmp.Compare(a, b))
}

// rank is higher for files that come later, -1 for most.
func rank(file string) int { return slices.Index(lastFiles, path.Base(file)) }
