//go:build !windows

package dataset

// retryBusy does what moves a file or a folder. Here a file that is open can be moved.
func retryBusy(move func() error) error { return move() }
