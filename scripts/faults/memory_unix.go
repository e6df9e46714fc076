//go:build unix

package main

import (
	"os"
	"runtime"
	"syscall"
)

// megabytes is the most memory that a process held at once.
func megabytes(state *os.ProcessState) int64 {
	usage, ok := state.SysUsage().(*syscall.Rusage)
	if !ok {
		return 0
	}
	if runtime.GOOS == "darwin" { // in bytes there, in kilobytes elsewhere
		return int64(usage.Maxrss) >> 20
	}
	return int64(usage.Maxrss) >> 10
}
