package dataset

import (
	"errors"
	"os"
	"syscall"
	"time"

	"github.com/rogpeppe/go-internal/lockedfile"
)

// Errors of a file that another program has open for a moment (System Error
// Codes, Microsoft): ERROR_ACCESS_DENIED is in package syscall.
const (
	sharingViolation = syscall.Errno(32)
	lockViolation    = syscall.Errno(33)
)

// busyTimeout is how long a file that another program has open is waited for: search
// indexers and virus scanners open what was just written.
const busyTimeout = 2 * time.Second

// retryBusy does what moves a file or a folder (os.Rename is MoveFileEx with
// MOVEFILE_REPLACE_EXISTING there) and tries again while another program has it open.
func retryBusy(move func() error) error {
	for end, pause := time.Now().Add(busyTimeout), time.Millisecond; ; pause *= 2 {
		err := move()
		busy := errors.Is(err, syscall.ERROR_ACCESS_DENIED) || errors.Is(err, sharingViolation) ||
			errors.Is(err, lockViolation)
		if !busy || time.Now().After(end) {
			return err
		}
		time.Sleep(pause)
	}
}

// unlock takes a lock away and removes its file, which is impossible while it is open
// here or by somebody who waits for it: then that one removes it.
func unlock(file *lockedfile.File, path string) {
	file.Close()
	os.Remove(path)
}
