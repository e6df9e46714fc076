//go:build unix

package timed

import (
	"os"
	"runtime"
	"syscall"
	"time"
)

// Used is the processor time that this process took so far, 0 where the system does not say.
func Used() time.Duration {
	var usage syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &usage) != nil {
		return 0
	}
	return time.Duration(usage.Utime.Nano() + usage.Stime.Nano())
}

// PeakMB is the most memory that a process held, which Linux counts in kilobytes
// and macOS in bytes.
func PeakMB(state *os.ProcessState) int64 {
	usage, known := state.SysUsage().(*syscall.Rusage)
	switch {
	case !known:
		return 0
	case runtime.GOOS == "darwin":
		return int64(usage.Maxrss) >> 20
	}
	return int64(usage.Maxrss) >> 10
}
