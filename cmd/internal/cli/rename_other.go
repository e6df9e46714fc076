//go:build !windows

package cli

// patiently does what moves a file or a folder.
func patiently(move func() error) error { return move() }
