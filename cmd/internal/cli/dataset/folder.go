package dataset

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"runtime"
	"slices"
	"strings"
	"sync"
	"syscall"
	"time"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/parallel"
)

// Why something is not read: a pipe might never end, and a link leads to what does
// not come along with the dataset.
var (
	errNotRegular   = errors.New("is a link or a device, not a file")
	errNotFolder    = errors.New("is not a folder")
	errIsFolder     = errors.New("is a folder, not a file; move it away")
	errTooLarge     = fmt.Errorf("holds more than %d MB", maxFileSize>>20)
	errLinkedFolder = errors.New("its folder is a link, not a folder")
)

// DerivedFolder holds the derived tables, below the dataset.
const DerivedFolder = "derived"

// maxFileSize is more than any file of a session may hold, in bytes.
const maxFileSize = 64 << 20

// Folder is a dataset's folder as one command reads it. Nothing outside it can be
// reached, not even by a symbolic link, and only files and folders in their own
// right are opened. It remembers what it showed: a file that changes meanwhile is
// an error when it is read again, and [Folder.Unchanged] tells whether all of it
// is still there as it was. It may be used by several goroutines at once.
type Folder struct {
	root     *os.Root
	mu       sync.Mutex
	stamps   map[string]stamp
	checked  map[string]struct{} // folders that are folders, not links
	sessions *os.Root            // the folder of the sessions, once opened
}

// stamp is how a file or a folder was when it was first read.
type stamp struct {
	size    int64
	changed time.Time
	names   []string // in a folder: the entries that are not hidden; nil of a file
}

// Open opens a folder, and nothing else: a pipe would wait for somebody to write into
// it. The error is one of the file system.
func Open(dir string) (*Folder, error) {
	info, err := os.Stat(dir)
	if err != nil {
		return nil, err
	}
	if !info.IsDir() {
		return nil, errNotFolder
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	return &Folder{root: root, stamps: map[string]stamp{}, checked: map[string]struct{}{}}, nil
}

// Close closes the folder; nothing more can be read of it.
func (f *Folder) Close() {
	f.closeSessions()
	f.root.Close()
}

// InPlace reports whether the folder is still the one at that path, and no other has
// taken its place.
func (f *Folder) InPlace(dir string) bool {
	now, err := os.Stat(dir)
	if err != nil {
		return false
	}
	opened, err := f.root.Stat(".")
	return err == nil && os.SameFile(now, opened)
}

// Stat implements [fs.StatFS]. It does not follow a link, and looks at nothing
// that is reached through one.
func (f *Folder) Stat(name string) (fs.FileInfo, error) {
	folder := path.Dir(name)
	f.mu.Lock()
	_, known := f.checked[folder]
	f.mu.Unlock()
	if !known {
		if err := checkFolders(f.root, name); err != nil {
			return nil, err
		}
		f.mu.Lock()
		f.checked[folder] = struct{}{}
		f.mu.Unlock()
	}
	from, rest := f.nearest(name)
	info, err := from.Lstat(rest)
	return info, withPath(err, name)
}

// sessionsFolder is on the way to nearly every file, and opened once for all.
const sessionsFolder = "sessions"

// nearest returns an open folder near a name, and the name from there.
func (f *Folder) nearest(name string) (from *os.Root, rest string) {
	rest, within := strings.CutPrefix(name, sessionsFolder+"/")
	if !within {
		return f.root, name
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.sessions == nil {
		sessions, err := f.root.OpenRoot(sessionsFolder)
		if err != nil {
			return f.root, name
		}
		f.sessions = sessions
	}
	return f.sessions, rest
}

// openIn opens a file or a folder, to be read. A pipe that came into its place does
// not wait for somebody to write into it.
func openIn(from *os.Root, name string) (*os.File, error) {
	return from.OpenFile(name, os.O_RDONLY|syscall.O_NONBLOCK, 0)
}

// withPath gives an error the whole path.
func withPath(err error, name string) error {
	if p, ok := err.(*fs.PathError); ok {
		p.Path = name
	}
	return err
}

// checkFolders returns an error when a folder on the way to a name is none, but a
// link or something else.
func checkFolders(root *os.Root, name string) error {
	for end, c := range name {
		if c != '/' {
			continue
		}
		if info, err := root.Lstat(name[:end]); err == nil && !info.IsDir() {
			return &fs.PathError{Op: "open", Path: name[:end], Err: errLinkedFolder}
		}
	}
	return nil
}

// Open implements [fs.FS].
func (f *Folder) Open(name string) (fs.File, error) {
	info, err := f.Stat(name)
	switch {
	case err != nil:
		return nil, err
	case !info.IsDir() && !info.Mode().IsRegular():
		return nil, &fs.PathError{Op: "open", Path: name, Err: errNotRegular}
	case !info.IsDir():
		if err := f.record(name, stamp{size: info.Size(), changed: info.ModTime()}); err != nil {
			return nil, err
		}
	}
	from, rest := f.nearest(name)
	file, err := openIn(from, rest)
	return file, withPath(err, name)
}

// ReadFile implements [fs.ReadFileFS]. Only derived tables may be of any size.
func (f *Folder) ReadFile(name string) ([]byte, error) {
	file, err := f.Open(name)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	info, err := file.Stat()
	if err == nil && info.Size() > maxFileSize && !strings.HasPrefix(name, DerivedFolder+"/") {
		err = &fs.PathError{Op: "read", Path: name, Err: errTooLarge}
	}
	if err != nil {
		return nil, err
	}
	return readUnchanged(file, name)
}

// ReadDir implements [fs.ReadDirFS].
func (f *Folder) ReadDir(name string) ([]fs.DirEntry, error) {
	info, err := f.root.Lstat(name)
	if err != nil {
		return nil, err
	}
	list, err := fs.ReadDir(f.root.FS(), name)
	if err != nil {
		return nil, err
	}
	return list, f.record(name, stamp{changed: info.ModTime(), names: visibleNames(list)})
}

// record remembers a stamp, or compares it with the one that is remembered.
func (f *Folder) record(name string, now stamp) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	was, known := f.stamps[name]
	if !known {
		f.stamps[name] = now
		return nil
	}
	if was.size != now.size || now.names == nil && !was.changed.Equal(now.changed) || !slices.Equal(was.names,
		now.names) {
		return &fs.PathError{Op: "read", Path: name, Err: errChanged}
	}
	return nil
}

// unchanged returns an error that names the first file or folder which is no
// longer as it was when the run read it.
func (f *Folder) Unchanged() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	now := &Folder{root: f.root} // what is open may be no longer where it was
	defer now.closeSessions()
	names := slices.Collect(maps.Keys(f.stamps)) // in any order
	same := parallel.Map(runtime.GOMAXPROCS(0), len(names), func(i int) bool {
		return now.isUnchanged(names[i], f.stamps[names[i]])
	})
	changed := ""
	for i, name := range names {
		if !same[i] && (changed == "" || name < changed) {
			changed = name
		}
	}
	if changed == "." {
		return voice.Usage("nothing was written; run it again", "the dataset changed while it was read")
	}
	if changed != "" {
		return voice.Usage("nothing was written; run it again", "%q changed while it was read", changed)
	}
	return nil
}

// closeSessions closes what was opened on the way, but not the dataset's own folder.
func (f *Folder) closeSessions() {
	if f.sessions != nil {
		f.sessions.Close()
	}
}

// isUnchanged reports whether a file or a folder is as it was.
func (f *Folder) isUnchanged(name string, was stamp) bool {
	from, rest := f.nearest(name)
	info, err := from.Lstat(rest)
	switch {
	case err != nil || info.IsDir() != (was.names != nil):
		return false
	case !info.IsDir():
		return info.Mode().IsRegular() && info.Size() == was.size && info.ModTime().Equal(was.changed)
	case info.ModTime().Equal(was.changed):
		return true
	}
	list, err := fs.ReadDir(f.root.FS(), name)
	return err == nil && slices.Equal(visibleNames(list), was.names)
}

// visibleNames are the names of the entries that are not hidden.
func visibleNames(list []fs.DirEntry) []string {
	names := []string{}
	for _, entry := range list {
		if !strings.HasPrefix(entry.Name(), ".") {
			names = append(names, entry.Name())
		}
	}
	return names
}
