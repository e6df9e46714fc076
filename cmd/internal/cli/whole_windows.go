package cli

import (
	"errors"
	"os"
	"path/filepath"
	"syscall"
	"time"
)

// writeWhole creates or replaces a file so that a reader, and the disk after a
// fall of the power, sees the old bytes or the new ones and never a part.
// renameio leaves Windows out, because a replaced file there loses its own
// access rights; those of the folder are what a dataset's file has anyway.
func writeWhole(path string, text []byte) error {
	temp, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".")
	if err != nil {
		return err
	}
	defer os.Remove(temp.Name()) // nothing is left to remove when all went well
	_, err = temp.Write(text)
	if err := errors.Join(err, temp.Sync(), temp.Close()); err != nil {
		return err
	}
	return rename(temp.Name(), path)
}

// Errors of a file that another program holds open for a moment (System Error
// Codes, Microsoft): ERROR_ACCESS_DENIED is in package syscall.
const (
	sharingViolation = syscall.Errno(32)
	lockViolation    = syscall.Errno(33)
)

// heldFor is how long a file that another program holds is waited for: search
// indexers and virus scanners open what was just written.
const heldFor = 2 * time.Second

// rename moves a file or folder, in the place of a file of that name.
func rename(from, to string) error {
	for end, pause := time.Now().Add(heldFor), time.Millisecond; ; pause *= 2 {
		err := os.Rename(from, to) // MoveFileEx with MOVEFILE_REPLACE_EXISTING
		held := errors.Is(err, syscall.ERROR_ACCESS_DENIED) || errors.Is(err, sharingViolation) || errors.Is(err, lockViolation)
		if !held || time.Now().After(end) {
			return err
		}
		time.Sleep(pause)
	}
}
