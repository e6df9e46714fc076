package dataset

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"soletrial/cmd/internal/cli/voice"
)

// ReplaceFile has fill write a file under another name beside out, and then moves it there.
// What stands there already is replaced only where ours says that it is an earlier one. The
// error is a [voice.Failure], or that of fill, after which all is as it was.
func ReplaceFile(out string, ours func(path string) bool, fill func(path string) error) error {
	info, err := os.Lstat(out)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return voice.Usage("", "cannot write %q: %v", out, voice.Reason(err))
	case !info.Mode().IsRegular():
		return voice.Usage("name a file", "cannot write %q: it is a folder, a link or a device", out)
	case !ours(out):
		return voice.Usage("name a new file, or move this one away yourself",
			"%q exists, and this command did not write it", out)
	}
	// Whole and on the disk before it gets its name.
	parent := filepath.Dir(filepath.Clean(out))
	removeLeftovers(parent)
	stage, err := makeStage(parent)
	if err != nil {
		return voice.Usage("name a file in a folder that exists", "cannot write beside %q: %v", out, voice.Reason(err))
	}
	defer os.RemoveAll(stage)
	fresh := filepath.Join(stage, filepath.Base(out))
	if err := fill(fresh); err != nil {
		return err
	}
	if err := syncFile(fresh); err != nil {
		return voice.Usage("nothing was written", "cannot write %q: %v", out, voice.Reason(err))
	}
	if err := moveFolder(fresh, out); err != nil {
		return voice.Usage("nothing was written", "cannot write %q: %v", out, voice.Reason(err))
	}
	return nil
}

// syncFile brings a file to the disk.
func syncFile(path string) error {
	file, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(file.Sync(), file.Close())
}
