package cli

import (
	"io"
	"io/fs"
	"math"
	"path"
	"time"
)

// loaded is the files of one folder in memory, by path in the dataset.
type loaded map[string]text

// text is the bytes of a file and, once they have been summed, what is known of
// it.
type text struct {
	file
	bytes []byte
}

// mostLoaded is more than any file of a session may hold.
const mostLoaded = 64 << 20

// load reads files of one folder of the dataset, one after the other into room,
// which grows where it is too small. The files are noted as [watched.ReadFile]
// notes them.
func (w *watched) load(folder string, paths []string, room *[]byte) (loaded, error) {
	sub, err := w.root.OpenRoot(folder)
	if err != nil {
		return nil, err
	}
	defer sub.Close()
	sizes, total := make([]int64, len(paths)), int64(0)
	for i, p := range paths {
		info, err := sub.Lstat(path.Base(p))
		switch {
		case err != nil:
			return nil, err
		case !info.Mode().IsRegular() || info.Size() > mostLoaded:
			return nil, &fs.PathError{Op: "read", Path: p, Err: errNotPlain}
		}
		if err := w.note(p, stamp{size: info.Size(), changed: info.ModTime()}); err != nil {
			return nil, err
		}
		sizes[i] = info.Size()
		total += sizes[i]
	}
	if total > math.MaxInt32 {
		return nil, &fs.PathError{Op: "read", Path: folder, Err: fs.ErrInvalid}
	}
	if int64(len(*room)) < total {
		*room = make([]byte, total*5/4)
	}
	files, free := make(loaded, len(paths)), *room
	for i, p := range paths {
		open, err := sub.Open(path.Base(p))
		if err != nil {
			return nil, err
		}
		err = w.fill(open, p, free[:sizes[i]])
		open.Close()
		if err != nil {
			return nil, err
		}
		files[p] = text{file{Path: p}, free[:sizes[i]:sizes[i]]}
		free = free[sizes[i]:]
	}
	return files, nil
}

// fill reads a file that holds as many bytes as it was found to hold, and still
// does afterwards.
func (w *watched) fill(open fs.File, name string, into []byte) error {
	if _, err := io.ReadFull(open, into); err != nil {
		return &fs.PathError{Op: "read", Path: name, Err: errChanged}
	}
	info, err := open.Stat()
	if err != nil {
		return err
	}
	return w.note(name, stamp{size: info.Size(), changed: info.ModTime()})
}

// Open implements [fs.FS], for the pipeline, which asks for files by name alone.
func (l loaded) Open(name string) (fs.File, error) {
	return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
}

// ReadFile implements [fs.ReadFileFS]. What is returned is only to be read.
func (l loaded) ReadFile(name string) ([]byte, error) {
	t, there := l[name]
	if !there {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return t.bytes, nil
}

// Stat implements [fs.StatFS].
func (l loaded) Stat(name string) (fs.FileInfo, error) {
	t, there := l[name]
	if !there {
		return nil, &fs.PathError{Op: "stat", Path: name, Err: fs.ErrNotExist}
	}
	return t, nil
}

// SHA256Of implements [plaintext.Summed].
func (l loaded) SHA256Of(name string) string { return l[name].SHA256 }

// Name, Size, Mode, ModTime, IsDir and Sys implement [fs.FileInfo].
func (t text) Name() string       { return path.Base(t.Path) }
func (t text) Size() int64        { return int64(len(t.bytes)) }
func (t text) Mode() fs.FileMode  { return 0o444 }
func (t text) ModTime() time.Time { return time.Time{} }
func (t text) IsDir() bool        { return false }
func (t text) Sys() any           { return nil }
