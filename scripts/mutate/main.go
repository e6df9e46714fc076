// Mutate measures how much the tests of a package notice: it changes one operator,
// comparison or constant at a time, runs the tests, and lists the changes that no test
// saw. Run it from the root of the module:
//
//	go run ./scripts/mutate -sample 300 -seed 1 -for 20m
//
// The tree is never touched: mutants live in a temporary copy, out of reach of data beside
// the repository. A mutant is killed by a test that knows a right answer, or at least moved,
// when only TestBits, which pins a hash of many outputs, sees it; the two are counted apart.
// TestNoFusedProducts reads source and does not count. Changes that change nothing are listed
// with a reason in scripts/mutate/equivalent.txt.
package main

import (
	"bufio"
	"cmp"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

func main() {
	pkg := flag.String("pkg", "pipeline/stats", "package folder")
	sample := flag.Int("sample", 0, "try so many mutants chosen at random (0: all)")
	limit := flag.Duration("for", 0, "start no mutant after so long (0: no limit)")
	seed := flag.Uint64("seed", 1, "seed of the random order")
	only := flag.String("file", "", "only this file of the package")
	workers := flag.Int("workers", 2, "how many at a time")
	timeout := flag.Duration("timeout", 20*time.Second, "a test run longer than this is a kill")
	pins := flag.String("pins", "TestBits", "tests that only pin outputs")
	skip := flag.String("skip", "TestNoFusedProducts", "tests that do not count")
	flag.Parse()

	// Copy the package and list what to change, in random order.
	dir, err := os.MkdirTemp("", "mutate")
	check(err)
	defer os.RemoveAll(dir)
	check(copyModule(".", *pkg, dir))
	list, err := mutantsIn(filepath.Join(dir, "module", *pkg), *only)
	check(err)
	total := len(list)
	list = shuffled(list, *sample, *seed)
	var deadline time.Time
	if *limit > 0 {
		deadline = time.Now().Add(*limit)
	}

	// Try them, once the tests pass without any change.
	known, err := readEquivalent("scripts/mutate/equivalent.txt")
	check(err)
	b := sandbox{dir: dir, pkg: *pkg, timeout: *timeout, pins: *pins, skip: *skip}
	if v := b.try(mutant{file: list[0].file}, 0); v != survived {
		check(fmt.Errorf("the tests of %s fail without any change: correct them first", *pkg))
	}
	verdicts := b.tryAll(list, *workers, deadline, func(done, i int, v verdict) {
		if v == survived || v == pinnedOnly {
			fmt.Fprintln(os.Stderr, label[v], list[i])
		}
		if done%50 == 0 {
			fmt.Fprintf(os.Stderr, "mutate: %d of %d\n", done, len(list))
		}
	})

	// Leave out what is listed as no real change, and report.
	for i, m := range list {
		if (verdicts[i] == survived || verdicts[i] == pinnedOnly) && known[key(m)] != "" {
			verdicts[i] = equivalent
		}
	}
	list, verdicts = inSourceOrder(list, verdicts)
	fmt.Printf("%d mutants, %d tried (seed %d)\n", total, len(list), *seed)
	report(list, verdicts)
}

func check(err error) {
	if err != nil {
		fmt.Fprintln(os.Stderr, "mutate:", err)
		os.Exit(1)
	}
}

// mutantsIn lists the mutants of every source file that is not a test, files in order of
// name.
func mutantsIn(dir, only string) ([]mutant, error) {
	files, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil {
		return nil, err
	}
	var out []mutant
	for _, f := range files {
		name := filepath.Base(f)
		if strings.HasSuffix(name, "_test.go") || only != "" && name != only {
			continue
		}
		src, err := os.ReadFile(f)
		if err != nil {
			return nil, err
		}
		m, err := mutantsOf(name, src)
		if err != nil {
			return nil, err
		}
		out = append(out, m...)
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("nothing to change in %s", dir)
	}
	return out, nil
}

// shuffled puts the mutants in a random order, so that whatever is tried in time is a fair
// sample, and keeps the first n of them (all for n = 0).
func shuffled(list []mutant, n int, seed uint64) []mutant {
	if n <= 0 || n > len(list) {
		n = len(list)
	}
	out := make([]mutant, n)
	for i, j := range rand.New(rand.NewPCG(seed, 0)).Perm(len(list))[:n] {
		out[i] = list[j]
	}
	return out
}

// inSourceOrder drops what was not tried and sorts the rest by place.
func inSourceOrder(list []mutant, verdicts []verdict) ([]mutant, []verdict) {
	var order []int
	for i, v := range verdicts {
		if v != untried {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(list[a].file, list[b].file), cmp.Compare(list[a].offset, list[b].offset),
			cmp.Compare(list[a].to, list[b].to))
	})
	var m []mutant
	var v []verdict
	for _, i := range order {
		m, v = append(m, list[i]), append(v, verdicts[i])
	}
	return m, v
}

// key names a mutant without its line number, so that it survives edits elsewhere.
func key(m mutant) string {
	return fmt.Sprintf("%s | %s -> %s | %s", m.file, m.from, m.to, m.sourceLine)
}

// readEquivalent reads lines "file | from -> to | source line # reason".
func readEquivalent(path string) (map[string]string, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	out := map[string]string{}
	scan := bufio.NewScanner(f)
	for n := 1; scan.Scan(); n++ {
		line := strings.TrimSpace(scan.Text())
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		what, reason, ok := strings.Cut(line, " # ")
		if !ok || strings.TrimSpace(reason) == "" {
			return nil, fmt.Errorf("%s:%d: no reason after \" # \"", path, n)
		}
		out[strings.TrimSpace(what)] = reason
	}
	return out, scan.Err()
}

var label = map[verdict]string{survived: "survived", pinnedOnly: "moved   "}

// report prints killed of total for each file, then the survivors.
func report(list []mutant, verdicts []verdict) {
	type tally struct{ killed, pinnedOnly, counted, equivalent, unbuilt int }

	// Count by file.
	files := map[string]*tally{}
	var names []string
	var all tally
	for i, m := range list {
		t := files[m.file]
		if t == nil {
			t = &tally{}
			files[m.file] = t
			names = append(names, m.file)
		}
		for _, t := range []*tally{t, &all} {
			switch verdicts[i] {
			case killed:
				t.killed++
				t.counted++
			case pinnedOnly:
				t.pinnedOnly++
				t.counted++
			case survived:
				t.counted++
			case equivalent:
				t.equivalent++
			case unbuilt:
				t.unbuilt++
			}
		}
	}

	// Print one line for each file, and one for all.
	printLine := func(name string, t tally) {
		share := 100.0
		if t.counted > 0 {
			share = 100 * float64(t.killed+t.pinnedOnly) / float64(t.counted)
		}
		fmt.Printf("%-22s %4d of %4d killed  %5.1f %%  (%d by pinned bits only; %d equivalent, %d do not build)\n",
			name, t.killed+t.pinnedOnly, t.counted, share, t.pinnedOnly, t.equivalent, t.unbuilt)
	}
	for _, name := range names {
		printLine(name, *files[name])
	}
	printLine("all", all)

	// List the survivors.
	for i, m := range list {
		if v := verdicts[i]; v == survived || v == pinnedOnly {
			fmt.Println(label[v], m)
		}
	}
}
