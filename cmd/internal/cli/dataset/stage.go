package dataset

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

// StagePrefix starts the name of everything that is being written. The number of the
// process comes next, so that the next run can tell what an interrupted one left.
const StagePrefix = ".soletrial-"

// stage is a folder in which files wait until all of them are whole; it is made for
// the first of them. Nothing it does follows a link out of the folder it is in.
type stage struct {
	dir  string
	root *os.Root // the folder that the files will be in
	name string   // of the stage in it; "" before the first file

	syncing sync.WaitGroup // files being brought to the disk
	slots   chan struct{}  // one for each file at a time
	mu      sync.Mutex
	failed  error // the first that could not be brought to the disk
}

// maxSyncing is how many files are brought to the disk at a time.
const maxSyncing = 4

func newStage(dir string, root *os.Root) *stage {
	return &stage{dir: dir, root: root, slots: make(chan struct{}, maxSyncing)}
}

// makeStage makes an empty folder in dir, under a name that [removeLeftovers] knows.
func makeStage(dir string) (string, error) {
	return os.MkdirTemp(dir, fmt.Sprintf("%s%d-", StagePrefix, os.Getpid()))
}

// add writes one file into the stage. It is on the disk after [stage.wait].
func (s *stage) add(to string, text []byte) error {
	file, err := s.create(to)
	if err != nil {
		return err
	}
	_, err = file.Write(text)
	return s.syncLater(file, to, err)
}

// create makes an empty file in the stage, with the rights of the one in the folder.
func (s *stage) create(to string) (*os.File, error) {
	if s.name == "" {
		full, err := makeStage(s.dir)
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

// syncLater brings a file that was written to the disk while others are written, unless
// writing failed.
func (s *stage) syncLater(file *os.File, to string, err error) error {
	if err != nil {
		file.Close()
		return err
	}
	s.slots <- struct{}{}
	s.syncing.Go(func() {
		s.sync(file, to)
		<-s.slots
	})
	return nil
}

// sync brings a file to the disk and closes it.
func (s *stage) sync(file *os.File, to string) {
	err := file.Sync()
	if closed := file.Close(); err == nil {
		err = closed
	}
	if err != nil {
		s.mu.Lock()
		defer s.mu.Unlock()
		s.failed = cmp.Or(s.failed, s.writeFailure(to, err))
	}
}

// writeFailure says that a file could not be put into the stage.
func (s *stage) writeFailure(to string, err error) error {
	return voice.Usage("nothing was written", "cannot write %q: %v", filepath.Join(s.root.Name(), to),
		voice.Reason(err))
}

// wait waits until every file is on the disk.
func (s *stage) wait() error {
	s.syncing.Wait()
	return s.failed
}

// commit moves the files to their places, folder by folder; a folder that is not
// there yet moves as a whole. Where one cannot move, those before it go back.
func (s *stage) commit(paths []string) error {
	var moves []string
	for _, to := range slices.SortedFunc(slices.Values(paths), compareOrder) {
		if top := s.outermostNew(to); !slices.Contains(moves, top) {
			moves = append(moves, top)
		}
	}
	steps := make([]undoStep, len(moves))
	for i, to := range moves {
		steps[i] = s.undoStep(i, to)
		if err := s.move(path.Join(s.name, to), to); err != nil {
			hint := "nothing was written"
			if !s.undo(moves[:i], steps) {
				hint = "some files were written, each of them complete; solve this and run the command again"
			}
			return voice.Usage(hint, "cannot write %q: %v", filepath.Join(s.root.Name(), to), voice.Reason(err))
		}
	}
	return nil
}

func (s *stage) move(from, to string) error {
	return retryBusy(func() error { return s.root.Rename(from, to) })
}

// backup is where the old bytes of the i-th move stay until all are done.
func (s *stage) backup(i int) string { return path.Join(s.name, fmt.Sprintf(".before-%d", i)) }

// undoStep is how a move can be undone.
type undoStep int

const (
	removeNew  undoStep = iota // what is there now is new
	restoreOld                 // the old bytes are kept
	impossible                 // the disk has no links to keep them with
)

func (s *stage) undoStep(i int, to string) undoStep {
	_, err := s.root.Lstat(to)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return removeNew
	case s.root.Link(to, s.backup(i)) != nil:
		return impossible
	}
	return restoreOld
}

// undo takes moves back, the last first, and reports whether all are.
func (s *stage) undo(moves []string, steps []undoStep) bool {
	all := true
	for i, to := range slices.Backward(moves) {
		var err error
		switch steps[i] {
		case removeNew:
			err = s.move(to, s.backup(i))
		case restoreOld:
			err = s.move(s.backup(i), to)
		case impossible:
			err = errors.ErrUnsupported
		}
		all = all && err == nil
	}
	return all
}

// outermostNew returns the outermost folder on the way to a path that is not there, or
// the path itself.
func (s *stage) outermostNew(to string) string {
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

func (s *stage) discard() {
	s.syncing.Wait()
	if s.name != "" {
		s.root.RemoveAll(s.name)
	}
}

// removeLeftovers removes from dir what interrupted runs left there.
func removeLeftovers(dir string) {
	entries, _ := os.ReadDir(dir) // what cannot be listed is not swept
	for _, e := range entries {
		rest, ours := strings.CutPrefix(e.Name(), StagePrefix)
		number, _, _ := strings.Cut(rest, "-")
		pid, err := strconv.Atoi(number)
		if ours && err == nil && (pid == os.Getpid() || !isRunning(pid)) {
			os.RemoveAll(filepath.Join(dir, e.Name()))
		}
	}
}

// isRunning reports whether a process of that number runs on this machine.
func isRunning(pid int) bool {
	process, err := os.FindProcess(pid)
	if err != nil {
		return false
	}
	defer process.Release()
	return !errors.Is(process.Signal(syscall.Signal(0)), os.ErrProcessDone)
}
