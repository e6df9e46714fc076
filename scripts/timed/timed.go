// Package timed runs programs and tells what a run took.
package timed

import (
	"fmt"
	"os/exec"
	"time"
)

// Cost is what a run took. PeakMB is the most memory the process held, 0 where the system does
// not say.
type Cost struct {
	Wall, CPU time.Duration
	PeakMB    int64
}

// Run runs a command to its end. The error holds all that the command printed.
func Run(command *exec.Cmd) (Cost, error) {
	start := time.Now()
	if out, err := command.CombinedOutput(); err != nil {
		return Cost{}, fmt.Errorf("%s: %w\n%s", command, err, out)
	}
	return Cost{time.Since(start), command.ProcessState.UserTime() + command.ProcessState.SystemTime(),
		PeakMB(command.ProcessState)}, nil
}
