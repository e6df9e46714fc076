package cli

import (
	"io"
	"io/fs"
	"path"
	"time"
)

// loaded is files in memory, by path in the dataset.
type loaded map[string]text

// text is the bytes of a file and, once they have been summed, what is known of
// it.
type text struct {
	file
	bytes []byte
}

// mostLoaded is more than any file of a session may hold.
const mostLoaded = 64 << 20

// load reads files of one folder one after the other into room, which grows where
// it is too small. They are noted, so that [watched.unchanged] tells whether they are
// still what was read.
func (w *watched) load(folder string, paths []string, room *[]byte) (loaded, error) {
	in, err := w.openFolder(folder)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	files, free := make(loaded, len(paths)), *room
	for _, p := range paths {
		open, err := openIn(in, path.Base(p))
		if err != nil {
			return nil, whole(err, p)
		}
		bytes, err := w.fill(open, p, &free)
		open.Close()
		if err != nil {
			return nil, err
		}
		files[p] = text{file{Path: p}, bytes}
	}
	if need := files.bytes(); need > len(*room) {
		*room = make([]byte, need*5/4) // for the next time
	}
	return files, nil
}

// fill reads an open file into the front of free, or into room of its own.
func (w *watched) fill(open fs.File, name string, free *[]byte) ([]byte, error) {
	info, err := open.Stat()
	switch {
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular() || info.Size() > mostLoaded:
		return nil, &fs.PathError{Op: "read", Path: name, Err: errNotPlain}
	}
	if err := w.note(name, stamp{size: info.Size(), changed: info.ModTime()}); err != nil {
		return nil, err
	}
	size := int(info.Size())
	if size > len(*free) {
		*free = make([]byte, size)
	}
	into := (*free)[:size:size]
	*free = (*free)[size:]
	if _, err := io.ReadFull(open, into); err != nil {
		return nil, &fs.PathError{Op: "read", Path: name, Err: errChanged}
	}
	return into, nil
}

func (l loaded) bytes() (n int) {
	for _, t := range l { // in any order
		n += len(t.bytes)
	}
	return n
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
