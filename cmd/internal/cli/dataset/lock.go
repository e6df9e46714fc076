package dataset

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"syscall"
	"time"

	"github.com/rogpeppe/go-internal/lockedfile"

	"soletrial/cmd/internal/cli/voice"
)

// What a writer leaves in a folder while it writes there: a file that the system keeps
// locked for it and unlocks when it ends, however it ends, and one that says who it is.
const (
	lockName   = StagePrefix + "lock"
	writerName = StagePrefix + "writer"
)

const (
	// quietWait is how long another writer is waited for before anything is said.
	quietWait = 200 * time.Millisecond
	// otherHostWait is how long a writer on another computer is waited for whose lock
	// this one cannot see.
	otherHostWait = 3 * time.Second
	// pollInterval is how often such a writer is looked for.
	pollInterval = 50 * time.Millisecond
)

// Writer is a process that writes into a folder.
type Writer struct {
	Command string // such as import; "" where it is not known
	Process int
	Host    string
	Since   string // local time
}

// String names the process, and its computer where it is another one.
func (w Writer) String() string {
	switch {
	case w.Command == "":
		return "another command"
	case w.Host == hostName():
		return fmt.Sprintf("%s (process %d)", w.Command, w.Process)
	}
	return fmt.Sprintf("%s (process %d on %q, since %s)", w.Command, w.Process, w.Host, w.Since)
}

// Lock makes the caller the only one to write into a folder that is there, until it
// calls release. Where another process writes already, waiting is called once and Lock
// waits for its end. What a process that was killed left of its lock is no obstacle; a
// writer on another computer whose lock the system does not know about, and which stays,
// is a [voice.Failure]. Where nothing can be written at all nothing is locked either.
func Lock(dir, command string, waiting func(Writer)) (release func(), err error) {
	return lockNames(dir, filepath.Join(dir, lockName), filepath.Join(dir, writerName), command, waiting)
}

// LockSite is [Lock] for a folder that is replaced as a whole, by [ReplaceSite]: its
// lock is beside it.
func LockSite(out, command string, waiting func(Writer)) (release func(), err error) {
	parent, name := filepath.Split(filepath.Clean(out))
	return lockNames(out, filepath.Join(parent, lockName+"-"+name), filepath.Join(parent, writerName+"-"+name),
		command, waiting)
}

func lockNames(dir, lock, writer, command string, waiting func(Writer)) (release func(), err error) {
	file, err := lockFile(lock, func() { waiting(readWriter(writer)) })
	switch {
	case err != nil:
		return nil, voice.Usage("remove it if no other command writes there", "cannot lock %q: %v", lock,
			voice.Reason(err))
	case file == nil:
		return func() {}, nil
	}
	if err := waitForOtherHost(dir, writer, waiting); err != nil {
		unlock(file, lock)
		return nil, err
	}
	// A name is of use to those who wait, but nothing depends on it.
	os.Remove(writer)
	self := Writer{command, os.Getpid(), hostName(), time.Now().Format("2006-01-02 15:04:05")}
	os.WriteFile(writer, []byte(self.text()), 0o666)
	return func() {
		os.Remove(writer)
		unlock(file, lock)
	}, nil
}

// lockFile opens a file and locks it, or calls slow once and waits. It is nil where
// nothing can be written beside it, or the disk knows no locks.
func lockFile(path string, slow func()) (*lockedfile.File, error) {
	for {
		if info, err := os.Lstat(path); err == nil && !info.Mode().IsRegular() {
			return nil, errNotRegular
		}
		file, err := openLocked(path, slow)
		switch {
		case errors.Is(err, errors.ErrUnsupported):
			return nil, nil
		case errors.Is(err, fs.ErrPermission) || errors.Is(err, syscall.EROFS) || errors.Is(err, fs.ErrNotExist):
			if Exists(path) {
				return nil, err
			}
			return nil, nil // what is to be written fails with a message of its own
		case err != nil:
			return nil, err
		}
		// The one before may have removed the file on its way out: then it is no lock.
		opened, err := file.Stat()
		now, gone := os.Lstat(path)
		if err == nil && gone == nil && os.SameFile(opened, now) {
			return file, nil
		}
		file.Close()
	}
}

// openLocked is [lockedfile.Edit], and calls slow when that takes long.
func openLocked(path string, slow func()) (*lockedfile.File, error) {
	type opened struct {
		file *lockedfile.File
		err  error
	}
	done := make(chan opened, 1)
	go func() {
		file, err := lockedfile.Edit(path)
		done <- opened{file, err}
	}()
	select {
	case o := <-done:
		return o.file, o.err
	case <-time.After(quietWait):
	}
	slow()
	o := <-done
	return o.file, o.err
}

// waitForOtherHost waits for the end of a writer on another computer, which does not
// share its locks. Nobody can see from here whether it still runs.
func waitForOtherHost(dir, writer string, waiting func(Writer)) error {
	said := false
	for end := time.Now().Add(otherHostWait); ; time.Sleep(pollInterval) {
		w := readWriter(writer)
		if w.Command == "" || w.Host == hostName() { // which held this lock, and is dead
			return nil
		}
		if !said {
			waiting(w)
			said = true
		}
		if time.Now().After(end) {
			return voice.Usage(fmt.Sprintf("nothing was written; wait until it ends, or remove %q if it is no longer "+
				"running", writer),
				"%q is being written by %v; this computer cannot tell whether that is still running", dir, w)
		}
	}
}

func hostName() string {
	name, err := os.Hostname()
	if err != nil || !hostForm.MatchString(name) {
		return "this-computer"
	}
	return name
}

var (
	hostForm   = regexp.MustCompile(`^[A-Za-z0-9._-]{1,253}$`)
	writerForm = regexp.MustCompile(`^command: ([a-z ]{1,40})\nprocess: ([0-9]{1,10})\n` +
		`host: ([A-Za-z0-9._-]{1,253})\nsince: ([0-9: -]{19})\n$`)
)

// text is what stands in the writer's file.
func (w Writer) text() string {
	return fmt.Sprintf("command: %s\nprocess: %d\nhost: %s\nsince: %s\n", w.Command, w.Process, w.Host, w.Since)
}

// readWriter reads who writes, as far as the file says so.
func readWriter(path string) Writer {
	if info, err := os.Lstat(path); err != nil || !info.Mode().IsRegular() || info.Size() > 1000 {
		return Writer{}
	}
	text, err := os.ReadFile(path)
	found := writerForm.FindStringSubmatch(string(text))
	if err != nil || found == nil {
		return Writer{}
	}
	process, _ := strconv.Atoi(found[2])
	return Writer{Command: found[1], Process: process, Host: found[3], Since: found[4]}
}
