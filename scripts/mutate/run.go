package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"time"
)

// verdict is what became of a mutant.
type verdict int

const (
	untried    verdict = iota // no time left
	killed                    // a test that knows a right answer failed, crashed or ran out of time
	pinnedOnly                // only the test that pins the bits of the outputs failed
	unbuilt                   // it does not compile: not counted
	survived                  // every test passed
	equivalent                // survived, and is listed as no real change
)

// sandbox is a copy of the module where mutants are tried, so that the tree is never touched
// and data beside the repository is out of reach.
type sandbox struct {
	dir, pkg string
	timeout  time.Duration
	pins     string // the tests that only pin outputs
	skip     string // tests that do not count at all
}

// try builds the tests with one mutant laid over its file and runs them.
func (b sandbox) try(m mutant, worker int) verdict {
	scratch := filepath.Join(b.dir, fmt.Sprint("mutant", worker))
	check(os.MkdirAll(scratch, 0o755))
	file := filepath.Join(b.dir, "module", b.pkg, m.file)
	src, err := os.ReadFile(file)
	check(err)

	// Replace the file for the compiler alone.
	changed, overlay := filepath.Join(scratch, m.file), filepath.Join(scratch, "overlay.json")
	check(os.WriteFile(changed, m.apply(src), 0o644))
	plan, err := json.Marshal(map[string]map[string]string{"Replace": {file: changed}})
	check(err)
	check(os.WriteFile(overlay, plan, 0o644))

	// Build the tests with it.
	binary := filepath.Join(scratch, "tests")
	build := exec.Command("go", "test", "-c", "-vet=off", "-ldflags=-s -w", "-overlay", overlay, "-o", binary,
		"./"+b.pkg)
	build.Dir = filepath.Join(b.dir, "module")
	if out, err := build.CombinedOutput(); err != nil {
		if strings.Contains(string(out), "build failed") || strings.Contains(string(out), m.file) {
			return unbuilt
		}
		check(fmt.Errorf("%v: %s", err, out))
	}

	// Run them: those that know a right answer first.
	switch {
	case !b.passes(binary, "-test.skip", b.pins+"|"+b.skip):
		return killed
	case !b.passes(binary, "-test.run", b.pins):
		return pinnedOnly
	}
	return survived
}

// passes runs a test binary where its package stands; too much time or memory is a failure.
func (b sandbox) passes(binary string, which ...string) bool {
	ctx, cancel := context.WithTimeout(context.Background(), b.timeout)
	defer cancel()
	args := []string{"-c", `ulimit -v 8000000; exec "$0" "$@"`, binary,
		"-test.short", "-test.failfast", "-rapid.nofailfile", "-rapid.checks=40", "-rapid.seed=1"}
	run := exec.CommandContext(ctx, "sh", append(args, which...)...)
	run.Dir = filepath.Join(b.dir, "module", b.pkg)
	return run.Run() == nil
}

// tryAll tries the mutants on a few workers until the deadline, if there is one; the
// verdicts keep the order.
func (b sandbox) tryAll(list []mutant, workers int, deadline time.Time,
	progress func(done, i int, v verdict)) []verdict {
	out := make([]verdict, len(list))
	next := make(chan int)
	var wait sync.WaitGroup
	var lock sync.Mutex
	done := 0

	// Workers take mutants, and report one at a time.
	for w := range workers {
		wait.Go(func() {
			for i := range next {
				v := b.try(list[i], w)
				lock.Lock()
				out[i] = v
				done++
				progress(done, i, v)
				lock.Unlock()
			}
		})
	}

	// Hand out mutants until the time is up.
	for i := range list {
		if !deadline.IsZero() && time.Now().After(deadline) {
			break
		}
		next <- i
	}
	close(next)
	wait.Wait()
	return out
}

// copyModule copies the module file and one package into dir/module.
func copyModule(root, pkg, dir string) error {
	for _, name := range []string{"go.mod", "go.sum"} {
		if err := copyFile(filepath.Join(root, name), filepath.Join(dir, "module", name)); err != nil {
			return err
		}
	}
	return os.CopyFS(filepath.Join(dir, "module", pkg), os.DirFS(filepath.Join(root, pkg)))
}

func copyFile(from, to string) error {
	data, err := os.ReadFile(from)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
		return err
	}
	return os.WriteFile(to, data, 0o644)
}
