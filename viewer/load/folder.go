package load

import (
	"bytes"
	"io"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
	"time"
)

// Folder is a read-only file system in memory: content by slash-separated path.
// Folders exist by being in the path of a file.
type Folder map[string][]byte

// ReadFile implements [fs.ReadFileFS]; the bytes are the caller's.
func (f Folder) ReadFile(name string) ([]byte, error) {
	blob, found := f[name]
	if !found {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return bytes.Clone(blob), nil
}

// Open implements [fs.FS].
func (f Folder) Open(name string) (fs.File, error) {
	if blob, found := f[name]; found && fs.ValidPath(name) {
		return &file{info: info{name: path.Base(name), size: int64(len(blob))}, Reader: bytes.NewReader(blob)}, nil
	}
	entries, err := f.ReadDir(name)
	if err != nil {
		return nil, err
	}
	return &folder{info: info{name: path.Base(name), folder: true}, left: entries}, nil
}

// ReadDir implements [fs.ReadDirFS]: entries by name.
func (f Folder) ReadDir(name string) ([]fs.DirEntry, error) {
	prefix := name + "/"
	if name == "." {
		prefix = ""
	}

	// The files below, and the folders that are in their paths.
	found := map[string]info{}
	for file, blob := range f {
		rest, inside := strings.CutPrefix(file, prefix)
		if !inside {
			continue
		}
		first, _, deeper := strings.Cut(rest, "/")
		if deeper {
			found[first] = info{name: first, folder: true}
			continue
		}
		found[first] = info{name: first, size: int64(len(blob))}
	}
	if !fs.ValidPath(name) || len(found) == 0 && name != "." {
		return nil, &fs.PathError{Op: "readdir", Path: name, Err: fs.ErrNotExist}
	}
	entries := make([]fs.DirEntry, 0, len(found))
	for _, name := range slices.Sorted(maps.Keys(found)) {
		entries = append(entries, fs.FileInfoToDirEntry(found[name]))
	}
	return entries, nil
}

// info describes a file or a folder; nothing in memory has a time.
type info struct {
	name   string
	size   int64
	folder bool
}

func (i info) Name() string     { return i.name }
func (i info) Size() int64      { return i.size }
func (info) ModTime() time.Time { return time.Time{} }
func (i info) IsDir() bool      { return i.folder }
func (info) Sys() any           { return nil }

func (i info) Mode() fs.FileMode {
	if i.folder {
		return fs.ModeDir | 0o555
	}
	return 0o444
}

type file struct {
	info
	*bytes.Reader
}

func (f *file) Stat() (fs.FileInfo, error) { return f.info, nil }
func (*file) Close() error                 { return nil }
func (f *file) Size() int64                { return f.info.size }

type folder struct {
	info
	left []fs.DirEntry
}

func (f *folder) Stat() (fs.FileInfo, error) { return f.info, nil }
func (*folder) Close() error                 { return nil }
func (f *folder) Read([]byte) (int, error) {
	return 0, &fs.PathError{Op: "read", Path: f.name, Err: fs.ErrInvalid}
}

// ReadDir implements [fs.ReadDirFile].
func (f *folder) ReadDir(n int) ([]fs.DirEntry, error) {
	if n <= 0 || n > len(f.left) {
		if n > 0 && len(f.left) == 0 {
			return nil, io.EOF
		}
		n = len(f.left)
	}
	entries := f.left[:n]
	f.left = f.left[n:]
	return entries, nil
}
