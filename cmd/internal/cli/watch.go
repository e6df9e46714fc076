package cli

import (
	"errors"
	"fmt"
	"io"
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

// errNotPlain is why something is not read: a pipe might never end, and a link
// leads to what does not come along with the dataset.
var (
	errNotPlain = errors.New("is a link or a device, not a file")
	errNoFolder = errors.New("is not a folder")
	errFolder   = errors.New("is a folder, not a file; move it away")
	errTooLarge = fmt.Errorf("holds more than %d MB", maxFileSize>>20)
	errLedAway  = errors.New("its folder is a link, not a folder")
)

// maxFileSize is more than any file of a session may hold, in bytes.
const maxFileSize = 64 << 20

// errChanged is why a run ends without a result: half of what it read would be of
// one state of the dataset and half of another.
var errChanged = errors.New("changed while it was read")

// watched is a dataset's folder as one run reads it. Nothing outside it can be
// reached, not even by a symbolic link, and only files and folders in their own
// right are opened. It remembers what it showed: a file that changes meanwhile is
// an error when it is read again, and [watched.unchanged] tells whether all of it
// is still there as it was. It may be used by several goroutines at once.
type watched struct {
	root  *os.Root
	mu    sync.Mutex
	seen  map[string]stamp
	plain map[string]struct{} // folders that are known to be some
	above *os.Root            // the folder of the sessions, once opened
}

// stamp is how a file or a folder was when it was first looked at.
type stamp struct {
	size    int64
	changed time.Time
	names   []string // in a folder: the entries that are not hidden; nil of a file
}

func watch(root *os.Root) *watched {
	return &watched{root: root, seen: map[string]stamp{}, plain: map[string]struct{}{}}
}

// Stat implements [fs.StatFS]. It does not follow a link, and looks at nothing
// that is reached through one.
func (w *watched) Stat(name string) (fs.FileInfo, error) {
	folder := path.Dir(name)
	w.mu.Lock()
	_, known := w.plain[folder]
	w.mu.Unlock()
	if !known {
		if err := plainFolders(w.root, name); err != nil {
			return nil, err
		}
		w.mu.Lock()
		w.plain[folder] = struct{}{}
		w.mu.Unlock()
	}
	from, rest := w.way(name)
	info, err := from.Lstat(rest)
	return info, whole(err, name)
}

// sessionsFolder is on the way to nearly every file, and opened once for all.
const sessionsFolder = "sessions"

// way returns a folder that is open and the way from there.
func (w *watched) way(name string) (from *os.Root, rest string) {
	rest, within := strings.CutPrefix(name, sessionsFolder+"/")
	if !within {
		return w.root, name
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.above == nil {
		above, err := w.root.OpenRoot(sessionsFolder)
		if err != nil {
			return w.root, name
		}
		w.above = above
	}
	return w.above, rest
}

// openIn opens a file or a folder, to be read. A pipe that came into its place does
// not wait for somebody to write into it.
func openIn(from *os.Root, name string) (*os.File, error) {
	return from.OpenFile(name, os.O_RDONLY|syscall.O_NONBLOCK, 0)
}

// whole gives an error the whole way.
func whole(err error, name string) error {
	if p, is := err.(*fs.PathError); is {
		p.Path = name
	}
	return err
}

// plainFolders returns an error when a folder on the way to a name is none, but a
// link or something else.
func plainFolders(root *os.Root, name string) error {
	for end, c := range name {
		if c != '/' {
			continue
		}
		if info, err := root.Lstat(name[:end]); err == nil && !info.IsDir() {
			return &fs.PathError{Op: "open", Path: name[:end], Err: errLedAway}
		}
	}
	return nil
}

// Open implements [fs.FS].
func (w *watched) Open(name string) (fs.File, error) {
	info, err := w.Stat(name)
	switch {
	case err != nil:
		return nil, err
	case !info.IsDir() && !info.Mode().IsRegular():
		return nil, &fs.PathError{Op: "open", Path: name, Err: errNotPlain}
	case !info.IsDir():
		if err := w.note(name, stamp{size: info.Size(), changed: info.ModTime()}); err != nil {
			return nil, err
		}
	}
	from, rest := w.way(name)
	file, err := openIn(from, rest)
	return file, whole(err, name)
}

// ReadFile implements [fs.ReadFileFS]. Only derived tables may be of any size.
func (w *watched) ReadFile(name string) ([]byte, error) {
	file, err := w.Open(name)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	info, err := file.Stat()
	if err == nil && info.Size() > maxFileSize && !strings.HasPrefix(name, derivedFolder+"/") {
		err = &fs.PathError{Op: "read", Path: name, Err: errTooLarge}
	}
	if err != nil {
		return nil, err
	}
	return readSettled(file, name)
}

// ReadDir implements [fs.ReadDirFS].
func (w *watched) ReadDir(name string) ([]fs.DirEntry, error) {
	info, err := w.root.Lstat(name)
	if err != nil {
		return nil, err
	}
	list, err := fs.ReadDir(w.root.FS(), name)
	if err != nil {
		return nil, err
	}
	return list, w.note(name, stamp{changed: info.ModTime(), names: shown(list)})
}

// note remembers a stamp, or compares it with the one that is remembered.
func (w *watched) note(name string, now stamp) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	was, known := w.seen[name]
	if !known {
		w.seen[name] = now
		return nil
	}
	if was.size != now.size || now.names == nil && !was.changed.Equal(now.changed) || !slices.Equal(was.names, now.names) {
		return &fs.PathError{Op: "read", Path: name, Err: errChanged}
	}
	return nil
}

// unchanged returns an error that names the first file or folder which is no
// longer as it was when the run read it.
func (w *watched) unchanged() error {
	w.mu.Lock()
	defer w.mu.Unlock()
	now := &watched{root: w.root} // what is open may be no longer where it was
	defer now.close()
	names := slices.Collect(maps.Keys(w.seen)) // in any order
	still := parallel.Map(runtime.GOMAXPROCS(0), len(names), func(i int) bool {
		return now.holds(names[i], w.seen[names[i]])
	})
	changed := ""
	for i, name := range names {
		if !still[i] && (changed == "" || name < changed) {
			changed = name
		}
	}
	if changed != "" {
		return voice.Usage("nothing was written; run it again", "%q changed while it was read", changed)
	}
	return nil
}

// close closes what was opened on the way, but not the dataset's own folder.
func (w *watched) close() {
	if w.above != nil {
		w.above.Close()
	}
}

// holds reports whether a file or a folder is as it was.
func (w *watched) holds(name string, was stamp) bool {
	from, rest := w.way(name)
	info, err := from.Lstat(rest)
	switch {
	case err != nil || info.IsDir() != (was.names != nil):
		return false
	case !info.IsDir():
		return info.Mode().IsRegular() && info.Size() == was.size && info.ModTime().Equal(was.changed)
	case info.ModTime().Equal(was.changed):
		return true
	}
	list, err := fs.ReadDir(w.root.FS(), name)
	return err == nil && slices.Equal(shown(list), was.names)
}

func shown(list []fs.DirEntry) []string {
	names := []string{}
	for _, entry := range list {
		if !strings.HasPrefix(entry.Name(), ".") {
			names = append(names, entry.Name())
		}
	}
	return names
}

// readSettled reads an open file to its end. It is an error when the file changes
// meanwhile, and no more is read than the file held at first.
func readSettled(file fs.File, name string) ([]byte, error) {
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
