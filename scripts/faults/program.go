package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime/debug"
	"time"

	"soletrial/scripts/timed"
)

// patience is when a run counts as hanging: far above what any of them takes, on
// a machine with other things to do as well.
const patience = 60 * time.Second

// newCampaign builds the program; root is the repository.
func newCampaign(root string, kills int, seed uint64) (*campaign, error) {
	root, err := filepath.Abs(root)
	if err != nil {
		return nil, err
	}
	scratch, err := os.MkdirTemp("", "faults")
	if err != nil {
		return nil, err
	}
	c := &campaign{root: root, scratch: scratch, program: filepath.Join(scratch, "soletrial.exe"), kills: kills,
		seed: seed}
	if err := os.Chmod(scratch, 0o755); err != nil {
		return nil, err
	}
	for folder, program := range map[string]string{"./cmd/soletrial": c.program, "./cmd/" + exporter: c.exporter()} {
		build := exec.Command("go", "build", "-trimpath", "-o", program, folder)
		build.Dir = root
		if out, err := build.CombinedOutput(); err != nil {
			return nil, errors.Join(fmt.Errorf("cannot build: %w\n%s", err, out), os.RemoveAll(scratch))
		}
	}
	return c, nil
}

// exporter is the first word of a run of the other program, soletrial of all others.
const exporter = "soletrial-export"

func (c *campaign) exporter() string { return filepath.Join(c.scratch, exporter+".exe") }

func (c *campaign) remove() { os.RemoveAll(c.scratch) }

// outcome is how a run of the program ended.
type outcome struct {
	code      int
	out, err  string
	megabytes int64 // of memory at most, 0 where that is not known
	took      time.Duration
	hung      bool
}

// command is a run of the program in a folder of its own.
func (c *campaign) command(ctx context.Context, dir string, args ...string) *exec.Cmd {
	program := c.program
	if len(args) > 0 && args[0] == exporter {
		program, args = c.exporter(), args[1:]
	}
	cmd := exec.CommandContext(ctx, program, args...)
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "HOME="+dir, "LC_ALL=C", "TZ=UTC")
	cmd.WaitDelay = time.Second
	return cmd
}

// soletrial runs the program in dir to its end.
func (c *campaign) soletrial(dir string, args ...string) outcome {
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	return finish(ctx, c.command(ctx, dir, args...))
}

// forget gives back what memory is free, and lets the system forget how much it was: a program
// that is started inherits the most that its starter ever held. Only Linux can forget; elsewhere
// the figures are too high.
func forget() {
	debug.FreeOSMemory()
	os.WriteFile("/proc/self/clear_refs", []byte("5"), 0) // proc(5)
}

// finish runs a command to its end.
func finish(ctx context.Context, cmd *exec.Cmd) outcome {
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	forget()
	began := time.Now()
	err := cmd.Run()
	o := outcome{out: stdout.String(), err: stderr.String(), took: time.Since(began), hung: ctx.Err() != nil}
	var exit *exec.ExitError
	switch {
	case errors.As(err, &exit):
		o.code = exit.ExitCode()
	case err != nil:
		o.code, o.err = -1, err.Error()
	}
	if cmd.ProcessState != nil {
		o.megabytes = timed.PeakMB(cmd.ProcessState)
	}
	return o
}

// must is a run that has to end well before faults can be tried.
func (c *campaign) must(dir string, args ...string) error {
	if o := c.soletrial(dir, args...); o.code != 0 || o.hung {
		return fmt.Errorf("soletrial %q ends with %d: %s", args, o.code, o.err)
	}
	return nil
}
