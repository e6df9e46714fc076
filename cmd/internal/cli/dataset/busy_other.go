//go:build !windows

package dataset

import (
	"os"

	"github.com/rogpeppe/go-internal/lockedfile"
)

// retryBusy does what moves a file or a folder. Here a file that is open can be moved.
func retryBusy(move func() error) error { return move() }

// unlock removes a lock's file and then the lock, so that nobody else can have locked
// the file that is removed.
func unlock(file *lockedfile.File, path string) {
	os.Remove(path)
	file.Close()
}
