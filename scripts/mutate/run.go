package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"
)

// outcome is what became of a mutant.
type outcome int

const (
	killed         outcome = iota // a test that knows a right answer failed, crashed or ran out of time
	killedByDerive                // a test of pipeline/derive did, and none of the package's own
	pinnedOnly                    // only the test that pins the bits of the outputs failed
	unbuilt                       // it does not compile: not counted
	survived                      // every test passed
	equivalent                    // survived, and is listed as no real change
	untried                       // enough without it, or no time left
)

const (
	pins = "TestBits"            // tests that only pin outputs
	skip = "TestNoFusedProducts" // tests that do not count at all
	// derivePackage has the tests of the whole chain.
	derivePackage = "pipeline/derive"
	// shortest is the least time that a test run is given.
	shortest = 30 * time.Second
)

// sandbox is a copy of the module where mutants are tried, so that the tree is never touched
// and data beside the repository is out of reach.
type sandbox struct {
	dir, pkg string
	quick    bool         // leave out what needs a build of its own
	tests    []testBinary // the package's own, then those of derive where they depend on it
}

// testBinary is the tests of one package and how to run them.
type testBinary struct {
	pkg     string
	flags   []string
	timeout time.Duration // longer is a kill: ten times what they take unchanged
}

// newSandbox finds out which tests there are, and that they pass without any change.
func newSandbox(dir, pkg string, quick bool) sandbox {
	b := sandbox{dir: dir, pkg: pkg, quick: quick}
	for _, tests := range slices.Compact([]string{pkg, derivePackage}) {
		deps, err := b.goCommand("list", "-deps", "-test", "./"+tests).Output()
		check(err)
		packages := strings.Fields(string(deps))
		if !slices.Contains(packages, "soletrial/"+pkg) || quick && tests != pkg {
			continue
		}
		t := testBinary{pkg: tests, timeout: 10 * time.Minute}
		if slices.Contains(packages, "pgregory.net/rapid") {
			t.flags = []string{"-rapid.nofailfile", "-rapid.checks=40", "-rapid.seed=1"}
		}
		path, err := b.build(t, "")
		check(err)
		start := time.Now()
		if !b.passes(t, path, 0, "-test.skip", skip) {
			check(fmt.Errorf("the tests of %s fail without any change: correct them first", tests))
		}
		t.timeout = max(shortest, 10*time.Since(start))
		b.tests = append(b.tests, t)
	}
	return b
}

// goCommand is the go command in the copy.
func (b sandbox) goCommand(args ...string) *exec.Cmd {
	c := exec.Command("go", args...)
	c.Dir = filepath.Join(b.dir, "module")
	return c
}

// build compiles tests; scratch is the folder with an overlay, "" for none.
func (b sandbox) build(t testBinary, scratch string) (path string, err error) {
	args := []string{"test", "-c", "-vet=off", "-ldflags=-s -w"}
	path = filepath.Join(b.dir, "tests")
	if scratch != "" {
		args = append(args, "-overlay", filepath.Join(scratch, "overlay.json"))
		path = filepath.Join(scratch, "tests-of-"+filepath.Base(t.pkg))
	}
	if out, err := b.goCommand(append(args, "-o", path, "./"+t.pkg)...).CombinedOutput(); err != nil {
		return "", fmt.Errorf("%v: %s", err, out)
	}
	return path, nil
}

// try runs the tests with one mutant laid over its file.
func (b sandbox) try(m mutant, known map[string]string, worker int) outcome {
	scratch := filepath.Join(b.dir, fmt.Sprint("mutant", worker))
	check(os.MkdirAll(scratch, 0o755))
	file := filepath.Join(b.dir, "module", b.pkg, m.file)
	src, err := os.ReadFile(file)
	check(err)

	// Replace the file for the compiler alone.
	changed := filepath.Join(scratch, m.file)
	check(os.WriteFile(changed, m.apply(src), 0o644))
	plan, err := json.Marshal(map[string]map[string]string{"Replace": {file: changed}})
	check(err)
	check(os.WriteFile(filepath.Join(scratch, "overlay.json"), plan, 0o644))

	// Build and run the tests with it.
	return b.runTests(m, known, 0, func(t testBinary) (string, error) { return b.build(t, scratch) })
}

// runTests runs the tests with a mutant, which is chosen by its number k where it is built together
// with others.
func (b sandbox) runTests(m mutant, known map[string]string, k int, build func(t testBinary) (string, error)) outcome {
	moved := false
	for i, t := range b.tests {
		// The package's own tests come first, and of these the ones that know a right answer.
		binary, err := build(t)
		switch {
		case err != nil && (strings.Contains(err.Error(), "build failed") || strings.Contains(err.Error(), m.file)):
			return unbuilt
		case err != nil:
			check(err)
		case !b.passes(t, binary, k, "-test.skip", pins+"|"+skip):
			return [...]outcome{killed, killedByDerive}[i]
		case i == 0 && !b.passes(t, binary, k, "-test.run", pins):
			moved = true
		}
		if known[key(m)] != "" {
			return equivalent
		}
	}
	if moved {
		return pinnedOnly
	}
	return survived
}

// passes runs a test binary where its package stands, with mutant k of those that were built
// together; too much time or memory is a failure.
func (b sandbox) passes(t testBinary, binary string, k int, which ...string) bool {
	ctx, cancel := context.WithTimeout(context.Background(), t.timeout)
	defer cancel()
	args := []string{"-c", `ulimit -v 8000000; exec "$0" "$@"`, binary, "-test.short", "-test.failfast"}
	run := exec.CommandContext(ctx, "sh", slices.Concat(args, t.flags, which)...)
	run.Dir = filepath.Join(b.dir, "module", t.pkg)
	run.Env = append(os.Environ(), chosenBy+"="+fmt.Sprint(k))
	return run.Run() == nil
}

// tryAll tries mutants on a few workers until n count (all for n = 0) or the deadline, if
// there is one; the outcomes keep the order. What does not build is made up for by the next
// ones, in batches, so that which are tried does not depend on the workers.
func (b sandbox) tryAll(list []mutant, n int, known map[string]string, workers int, deadline time.Time,
	progress func(i int, v outcome)) []outcome {
	out := slices.Repeat([]outcome{untried}, len(list))
	if n <= 0 {
		n = len(list)
	}
	for from, counted := 0, 0; from < len(list) && counted < n; {
		to := min(len(list), from+n-counted)
		b.tryBatch(list, out, from, to, known, workers, deadline, progress)
		for _, v := range out[from:to] {
			if v != unbuilt && v != untried {
				counted++
			}
		}
		from = to
		if !deadline.IsZero() && time.Now().After(deadline) {
			break
		}
	}
	return out
}

// tryBatch tries the mutants of list[from:to].
func (b sandbox) tryBatch(list []mutant, out []outcome, from, to int, known map[string]string, workers int,
	deadline time.Time, progress func(i int, v outcome)) {
	try := b.tryTogether(list[from:to], known)
	next := make(chan int)
	var wait sync.WaitGroup
	var lock sync.Mutex

	// Workers take mutants, and report one at a time.
	for w := range workers {
		wait.Go(func() {
			for i := range next {
				v := try(i-from, w)
				lock.Lock()
				out[i] = v
				progress(i, v)
				lock.Unlock()
			}
		})
	}

	// Hand out mutants until the time is up.
	for i := from; i < to; i++ {
		if !deadline.IsZero() && time.Now().After(deadline) {
			break
		}
		next <- i
	}
	close(next)
	wait.Wait()
}

// tryTogether builds the mutants of a list together as far as that goes, and returns how to try
// one of them.
func (b sandbox) tryTogether(list []mutant, known map[string]string) func(i, worker int) outcome {
	s, err := b.newTogether(list)
	check(err)
	binaries := map[string]string{}
	for _, t := range b.tests {
		path, err := b.build(t, s.folder())
		check(err)
		if !b.passes(t, path, 0, "-test.skip", pins+"|"+skip) {
			check(fmt.Errorf("the tests of %s fail with none of the changes chosen", t.pkg))
		}
		binaries[t.pkg] = path
	}
	return func(i, worker int) outcome {
		switch {
		case s.forms[i] == alone && b.quick:
			return untried
		case s.forms[i] == alone:
			return b.try(list[i], known, worker)
		}
		return b.runTests(list[i], known, i+1, func(t testBinary) (string, error) { return binaries[t.pkg], nil })
	}
}

// copyModule copies the module file and what the tests read into dir/module.
func copyModule(root, dir string) error {
	for _, name := range []string{"go.mod", "go.sum"} {
		if err := copyFile(filepath.Join(root, name), filepath.Join(dir, "module", name)); err != nil {
			return err
		}
	}
	for _, name := range []string{"pipeline", "viewer", "data"} {
		if err := os.CopyFS(filepath.Join(dir, "module", name), os.DirFS(filepath.Join(root, name))); err != nil {
			return err
		}
	}
	return nil
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
