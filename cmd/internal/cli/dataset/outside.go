package dataset

import (
	"errors"
	"io"
	"io/fs"
	"os"

	"soletrial/cmd/internal/cli/voice"
)

// errChanged is why a file cannot be used: a part of what was read is of one state
// of it and a part of another.
var errChanged = errors.New("changed while it was read")

// Exists reports whether there is anything under a path on this machine.
func Exists(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}

// ReadOutside reads a file from anywhere on this machine, links followed, but nothing
// that is not a file, and none of more than limit bytes. The error is a
// [voice.Failure].
func ReadOutside(path string, limit int64) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, voice.Usage("", "cannot read %q: %v", path, voice.Reason(err))
	case info.IsDir():
		return nil, voice.Usage("name the file itself", "cannot read %q: it is a folder", path)
	case !info.Mode().IsRegular():
		return nil, voice.Usage("save its output to a file first",
			"cannot read %q: it is a pipe or a device, not a file", path)
	case info.Size() > limit:
		return nil, voice.Usage("cut it into sessions first",
			"cannot read %q: the file has %d bytes, more than the %d MB that are read", path, info.Size(), limit>>20)
	}
	file, err := os.Open(path)
	if err != nil {
		return nil, voice.Usage("", "cannot read %q: %v", path, voice.Reason(err))
	}
	defer file.Close()
	text, err := readUnchanged(file, path)
	if err != nil {
		return nil, voice.Usage("wait until no other program writes to it", "cannot read %q: "+
			"%v", path, voice.Reason(err))
	}
	return text, nil
}

// readUnchanged reads an open file to its end. It is an error when the file changes
// meanwhile, and no more is read than the file held at first.
func readUnchanged(file fs.File, name string) ([]byte, error) {
	before, err := file.Stat()
	if err != nil {
		return nil, err
	}
	text := make([]byte, before.Size())
	n, err := io.ReadFull(file, text)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) && !errors.Is(err, io.EOF) {
		return nil, err
	}
	after, err := file.Stat()
	if err != nil {
		return nil, err
	}
	if n < len(text) || after.Size() != before.Size() || !after.ModTime().Equal(before.ModTime()) {
		return nil, &fs.PathError{Op: "read", Path: name, Err: errChanged}
	}
	return text, nil
}

// List lists a folder, and opens nothing else. The error is one of the file system.
func List(dir string) ([]os.DirEntry, error) {
	folder, err := Open(dir)
	if err != nil {
		return nil, err
	}
	defer folder.Close()
	return fs.ReadDir(folder.root.FS(), ".")
}
