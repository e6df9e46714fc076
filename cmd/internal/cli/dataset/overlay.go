package dataset

import (
	"bytes"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"

	"soletrial/pipeline/stable"
)

// Overlay is a file system as it would be with some files written: those of files,
// by path, before those of base, which may be nil for none.
func Overlay(base fs.FS, files map[string][]byte) fs.FS { return overlay{base, files} }

type overlay struct {
	base  fs.FS
	files map[string][]byte
}

// Open opens a file, or a folder that holds what both have there.
func (o overlay) Open(name string) (fs.File, error) {
	if !fs.ValidPath(name) {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrInvalid}
	}
	if text, ok := o.files[name]; ok {
		return &memoryFile{memoryEntry{path.Base(name), int64(len(text)), 0}, bytes.NewReader(text)}, nil
	}
	entries, err := o.ReadDir(name)
	if err == nil && len(entries) > 0 {
		return &memoryFolder{memoryEntry{path.Base(name), 0, fs.ModeDir}, entries}, nil
	}
	if o.base == nil {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return o.base.Open(name)
}

// ReadDir lists what both have in a folder, by name.
func (o overlay) ReadDir(name string) ([]fs.DirEntry, error) {
	// What the folder below has; a folder in it has no size or time of its own.
	var entries []fs.DirEntry
	var err error
	if o.base != nil {
		entries, err = fs.ReadDir(o.base, name)
	}
	for i, e := range entries {
		if e.IsDir() {
			entries[i] = fs.FileInfoToDirEntry(memoryEntry{e.Name(), 0, fs.ModeDir})
		}
	}
	// What is laid over it: a file here, or the first folder of a path below.
	seen := map[string]bool{}
	for file, text := range o.files {
		rest, inside := file, name == "."
		if !inside {
			rest, inside = strings.CutPrefix(file, name+"/")
		}
		if !inside {
			continue
		}
		entry := memoryEntry{rest, int64(len(text)), 0}
		if first, _, deeper := strings.Cut(rest, "/"); deeper {
			entry = memoryEntry{first, 0, fs.ModeDir}
		}
		if !seen[entry.name] {
			seen[entry.name] = true
			entries = slices.DeleteFunc(entries,
				func(e fs.DirEntry) bool { return e.Name() == entry.name && !e.IsDir() })
			if !slices.ContainsFunc(entries, func(e fs.DirEntry) bool { return e.Name() == entry.name }) {
				entries = append(entries, fs.FileInfoToDirEntry(entry))
			}
		}
	}
	// In one order.
	if len(entries) == 0 && err != nil {
		return nil, err
	}
	stable.Sort(entries, func(a, b fs.DirEntry) int { return strings.Compare(a.Name(), b.Name()) })
	return entries, nil
}

// memoryEntry describes a file or folder that is in memory only.
type memoryEntry struct {
	name string
	size int64
	mode fs.FileMode
}

func (e memoryEntry) Name() string { return e.name }
func (e memoryEntry) Size() int64  { return e.size }

// Mode lets everybody read.
func (e memoryEntry) Mode() fs.FileMode {
	if e.mode.IsDir() {
		return e.mode | 0o555
	}
	return 0o444
}

func (e memoryEntry) ModTime() time.Time         { return time.Time{} }
func (e memoryEntry) IsDir() bool                { return e.mode.IsDir() }
func (e memoryEntry) Sys() any                   { return nil }
func (e memoryEntry) Stat() (fs.FileInfo, error) { return e, nil }
func (e memoryEntry) Close() error               { return nil }

type memoryFile struct {
	memoryEntry
	*bytes.Reader
}

// Size is that of the whole file.
func (f *memoryFile) Size() int64 { return f.memoryEntry.size }

type memoryFolder struct {
	memoryEntry
	left []fs.DirEntry
}

// Read fails: a folder has no content.
func (f *memoryFolder) Read([]byte) (int, error) {
	return 0, &fs.PathError{Op: "read", Path: f.name, Err: fs.ErrInvalid}
}

// ReadDir lists the next n entries, all of them where n is not above 0.
func (f *memoryFolder) ReadDir(n int) ([]fs.DirEntry, error) {
	if n <= 0 {
		n = len(f.left)
	} else if len(f.left) == 0 {
		return nil, io.EOF
	}
	next := f.left[:min(n, len(f.left))]
	f.left = f.left[len(next):]
	return next, nil
}
