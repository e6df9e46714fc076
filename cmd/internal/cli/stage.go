package cli

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"

	"soletrial/cmd/internal/cli/voice"
)

// stagePrefix starts the name of everything that is on its way. The number of the
// process comes next, so that the next run can tell what an interrupted one left.
const stagePrefix = ".soletrial-"

// stage is a folder in which files wait until all of them are whole; it is made for
// the first of them. Nothing it does follows a link out of the folder it is in.
type stage struct {
	dir  string
	root *os.Root // the folder that the files will be in
	name string   // of the stage in it; "" before the first file

	down   sync.WaitGroup // files on their way down to the disk
	room   chan struct{}  // for so many at a time
	mu     sync.Mutex
	failed error // the first that did not get there
}

// manyDown is how many files are on their way down to the disk at a time.
const manyDown = 4

func newStage(dir string, root *os.Root) *stage {
	return &stage{dir: dir, root: root, room: make(chan struct{}, manyDown)}
}

// mkStage makes an empty folder in dir, under a name that [sweep] knows.
func mkStage(dir string) (string, error) {
	return os.MkdirTemp(dir, fmt.Sprintf("%s%d-", stagePrefix, os.Getpid()))
}

// put writes one file into the stage and sends it down to the disk: see
// [stage.wait].
func (s *stage) put(to string, text []byte) error {
	file, err := s.create(to)
	if err != nil {
		return err
	}
	_, err = file.Write(text)
	return s.send(file, to, err)
}

// create makes an empty file in the stage, with the rights of the one in the folder.
func (s *stage) create(to string) (*os.File, error) {
	if s.name == "" {
		full, err := mkStage(s.dir)
		if err != nil {
			return nil, err
		}
		s.name = filepath.Base(full)
	}
	if err := s.root.MkdirAll(path.Join(s.name, path.Dir(to)), 0o777); err != nil {
		return nil, err
	}
	mode := fs.FileMode(0o666)
	old, err := s.root.Lstat(to)
	if err == nil {
		mode = old.Mode().Perm()
	}
	file, err := s.root.OpenFile(path.Join(s.name, to), os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil || old == nil {
		return file, err
	}
	if err := file.Chmod(mode); err != nil && !errors.Is(err, errors.ErrUnsupported) {
		file.Close()
		return nil, err
	}
	return file, nil
}

// send sends a file that was written down to the disk, unless that failed.
func (s *stage) send(file *os.File, to string, err error) error {
	if err != nil {
		file.Close()
		return err
	}
	s.room <- struct{}{}
	s.down.Go(func() {
		s.sink(file, to)
		<-s.room
	})
	return nil
}

// sink brings a file down to the disk.
func (s *stage) sink(file *os.File, to string) {
	err := file.Sync()
	if closed := file.Close(); err == nil {
		err = closed
	}
	if err != nil {
		s.mu.Lock()
		defer s.mu.Unlock()
		s.failed = cmp.Or(s.failed, s.cannot(to, err))
	}
}

// cannot says that a file could not be put into the stage.
func (s *stage) cannot(to string, err error) error {
	return voice.Usage("nothing was written", "cannot write %q: %v", filepath.Join(s.root.Name(), to), voice.Reason(err))
}

// wait waits until every file is down on the disk.
func (s *stage) wait() error {
	s.down.Wait()
	return s.failed
}

// settle moves the files to their places, folder by folder; a folder that is not
// there yet moves as a whole. Where one cannot move, those before it go back.
func (s *stage) settle(paths []string) error {
	var moves []string
	for _, to := range slices.SortedFunc(slices.Values(paths), byFolder) {
		if top := s.missing(to); !slices.Contains(moves, top) {
			moves = append(moves, top)
		}
	}
	back := make([]wayBack, len(moves))
	for i, to := range moves {
		back[i] = s.wayBack(i, to)
		if err := s.move(path.Join(s.name, to), to); err != nil {
			hint := "nothing was written"
			if !s.undo(moves[:i], back) {
				hint = "some files were written, each whole; run it again once that is mended"
			}
			return voice.Usage(hint, "cannot write %q: %v", filepath.Join(s.root.Name(), to), voice.Reason(err))
		}
	}
	return nil
}

func (s *stage) move(from, to string) error {
	return patiently(func() error { return s.root.Rename(from, to) })
}

// before is where the old bytes of the i-th move stay until all are made.
func (s *stage) before(i int) string { return path.Join(s.name, fmt.Sprintf(".before-%d", i)) }

// wayBack is how a move can be taken back.
type wayBack int

const (
	remove  wayBack = iota // what is there now is new
	replace                // the old bytes are kept
	none                   // the disk has no links to keep them with
)

func (s *stage) wayBack(i int, to string) wayBack {
	_, err := s.root.Lstat(to)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return remove
	case s.root.Link(to, s.before(i)) != nil:
		return none
	}
	return replace
}

// undo takes moves back and reports whether it could.
func (s *stage) undo(moves []string, back []wayBack) bool {
	whole := true
	for i, to := range slices.Backward(moves) {
		var err error
		switch back[i] {
		case remove:
			err = s.move(to, s.before(i))
		case replace:
			err = s.move(s.before(i), to)
		case none:
			err = errors.ErrUnsupported
		}
		whole = whole && err == nil
	}
	return whole
}

// missing returns the outermost folder on the way to a path that is not there, or
// the path itself.
func (s *stage) missing(to string) string {
	for end, c := range to {
		if c != '/' {
			continue
		}
		if _, err := s.root.Lstat(to[:end]); errors.Is(err, fs.ErrNotExist) {
			return to[:end]
		}
	}
	return to
}

func (s *stage) remove() {
	s.down.Wait()
	if s.name != "" {
		s.root.RemoveAll(s.name)
	}
}

// sweep removes from dir what interrupted runs left there.
func sweep(dir string) {
	entries, _ := os.ReadDir(dir) // what cannot be listed is not swept
	for _, e := range entries {
		rest, ours := strings.CutPrefix(e.Name(), stagePrefix)
		number, _, _ := strings.Cut(rest, "-")
		pid, err := strconv.Atoi(number)
		if ours && err == nil && (pid == os.Getpid() || !alive(pid)) {
			os.RemoveAll(filepath.Join(dir, e.Name()))
		}
	}
}

// alive reports whether a process of that number runs on this machine.
func alive(pid int) bool {
	process, err := os.FindProcess(pid)
	if err != nil {
		return false
	}
	defer process.Release()
	return !errors.Is(process.Signal(syscall.Signal(0)), os.ErrProcessDone)
}
