package cli

import (
	"errors"
	"syscall"
	"time"
)

// Errors of a file that another program holds open for a moment (System Error
// Codes, Microsoft): ERROR_ACCESS_DENIED is in package syscall.
const (
	sharingViolation = syscall.Errno(32)
	lockViolation    = syscall.Errno(33)
)

// heldFor is how long a file that another program holds is waited for: search
// indexers and virus scanners open what was just written.
const heldFor = 2 * time.Second

// patiently does what moves a file or a folder (os.Rename is MoveFileEx with
// MOVEFILE_REPLACE_EXISTING there) and tries again while somebody holds it.
func patiently(move func() error) error {
	for end, pause := time.Now().Add(heldFor), time.Millisecond; ; pause *= 2 {
		err := move()
		held := errors.Is(err, syscall.ERROR_ACCESS_DENIED) || errors.Is(err, sharingViolation) || errors.Is(err, lockViolation)
		if !held || time.Now().After(end) {
			return err
		}
		time.Sleep(pause)
	}
}
