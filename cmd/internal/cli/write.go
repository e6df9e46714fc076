package cli

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

// write writes files of the dataset, unless the dataset is no longer what this run
// read. See [writeFiles].
func (a *app) write(files map[string][]byte) (changed []string, err error) {
	return writeFiles(a.Dataset, files, a.reading.unchanged)
}

// anyway is for what does not depend on what was read.
func anyway() error { return nil }

// writeFiles writes files into dir, each whole. All of them wait in a [stage] on
// the same disk until the last one is complete, so that a disk that is full
// changes nothing, and an interruption leaves every file as it was or as it
// should be; a folder that is new appears with everything in it. Files that
// already hold their content are left alone. still is asked last; where it has an
// error nothing is written. It returns the paths it changed, which are
// slash-separated and relative to dir.
func writeFiles(dir string, files map[string][]byte, still func() error) (changed []string, err error) {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return nil, voice.Usage("", "cannot make the folder %q: %v", dir, voice.Reason(err))
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, voice.Usage("", "cannot open %q: %v", dir, voice.Reason(err))
	}
	defer root.Close()
	sweep(dir)
	for _, path := range slices.Sorted(maps.Keys(files)) {
		same, err := holdsAlready(root, path, files[path])
		if err != nil {
			return nil, voice.Usage("nothing was written", "cannot write %q: %v", filepath.Join(dir, path), voice.Reason(err))
		}
		if !same {
			changed = append(changed, path)
		}
	}
	if len(changed) == 0 {
		return nil, nil
	}
	s := newStage(dir, root)
	defer s.remove()
	for _, path := range changed {
		if err := s.put(path, files[path]); err != nil {
			return nil, s.cannot(path, err)
		}
	}
	if err := s.wait(); err != nil {
		return nil, err
	}
	if err := still(); err != nil {
		return nil, err
	}
	return changed, s.settle(changed)
}

// holdsAlready reports whether a file holds a text. It is an error when the file
// cannot be replaced, because it is a folder, or it or a folder on the way is a link
// or a device.
func holdsAlready(root *os.Root, path string, text []byte) (bool, error) {
	if err := plainFolders(root, path); err != nil {
		return false, err
	}
	info, err := root.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return false, nil
	case err != nil:
		return false, err
	case info.IsDir():
		return false, errFolder
	case !info.Mode().IsRegular():
		return false, errNotPlain
	case info.Size() != int64(len(text)):
		return false, nil
	}
	old, err := root.ReadFile(path)
	return bytes.Equal(old, text), err
}

// sealing are the files that say what the others beside them are. They come last,
// so that they never speak of something that is not there yet.
var sealing = []string{"inputs.sha256", "session.yaml"}

// byFolder orders paths by folder, in each the sealing files last.
func byFolder(a, b string) int {
	return cmp.Or(cmp.Compare(path.Dir(a), path.Dir(b)), cmp.Compare(seal(a), seal(b)), cmp.Compare(a, b))
}

func seal(file string) int { return slices.Index(sealing, path.Base(file)) }
