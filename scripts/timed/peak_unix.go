//go:build unix

package timed

import (
	"os"
	"runtime"
	"syscall"
)

// peakMB is the most memory that a process held, which Linux counts in kilobytes
// and macOS in bytes.
func peakMB(state *os.ProcessState) int64 {
	usage, known := state.SysUsage().(*syscall.Rusage)
	switch {
	case !known:
		return 0
	case runtime.GOOS == "darwin":
		return int64(usage.Maxrss) >> 20
	}
	return int64(usage.Maxrss) >> 10
}
