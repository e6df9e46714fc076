// Mutate measures how much the tests of a package notice: it changes one operator,
// comparison or constant at a time, runs the tests, and lists the changes that no test
// saw. Run it from the root of the module:
//
//	go run ./scripts/mutate -n 60 -seed 1 ./pipeline/decide
//
// The package's own tests come first; what they let pass is tried on the tests of
// pipeline/derive where those depend on the package. A change counts when it compiles and
// the tests reach its code. The tree is never touched: changes are laid over a temporary copy,
// out of reach of data beside the repository. Changes that TestBits alone sees, which pins a
// hash of many outputs, are counted apart; TestNoFusedProducts reads source and does not
// count. Changes that change nothing are listed with a reason in
// scripts/mutate/equivalent/NAME.txt.
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
	n := flag.Int("n", 0, "count so many changes, chosen at random (0: all)")
	limit := flag.Duration("for", 0, "start none after so long (0: no limit)")
	seed := flag.Uint64("seed", 1, "seed of the random order")
	only := flag.String("file", "", "only this file of the package")
	quick := flag.Bool("quick", false, "only the package's own tests, and only changes that one build can hold")
	workers := flag.Int("workers", 2, "how many at a time")
	flag.Parse()
	if flag.NArg() == 0 {
		check(fmt.Errorf("name a package, such as ./pipeline/decide"))
	}

	// One copy of the module serves all packages.
	var err error
	copied, err = os.MkdirTemp("", "mutate")
	check(err)
	defer os.RemoveAll(copied)
	check(copyModule(".", copied))
	var deadline time.Time
	if *limit > 0 {
		deadline = time.Now().Add(*limit)
	}
	for _, pkg := range flag.Args() {
		measure(newSandbox(copied, filepath.Clean(pkg), *quick), *only, *n, *seed, *workers, deadline)
	}
}

// measure tries the changes of one package and prints what became of them.
func measure(b sandbox, only string, n int, seed uint64, workers int, deadline time.Time) {
	// List what to change, in random order, without what the tests do not reach.
	list, err := mutantsIn(filepath.Join(b.dir, "module", b.pkg), only)
	check(err)
	known, err := readEquivalent(filepath.Join("scripts/mutate/equivalent", filepath.Base(b.pkg)+".txt"))
	check(err)
	for _, line := range stale(known, list) {
		fmt.Fprintln(os.Stderr, "listed as no change, but not in the source:", line)
	}
	total := len(list)
	reached, err := b.reached()
	check(err)
	list = slices.DeleteFunc(shuffled(list, seed), func(m mutant) bool { return !reached.has(m) })
	inReach := len(list)

	// Try them, as many as are to count.
	outcomes := b.tryAll(list, n, known, workers, deadline, func(i int, v outcome) {
		if v == survived || v == pinnedOnly {
			fmt.Fprintln(os.Stderr, label[v], list[i])
		}
	})
	list, outcomes = inSourceOrder(list, outcomes)
	fmt.Printf("%s: %d changes, %d of them reached by the tests, %d tried (seed %d)\n",
		b.pkg, total, inReach, len(list), seed)
	report(list, outcomes)
}

// copied is the folder with the copy of the module, which check removes too.
var copied string

func check(err error) {
	if err != nil {
		fmt.Fprintln(os.Stderr, "mutate:", err)
		os.RemoveAll(copied)
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
		if strings.HasSuffix(name, "_test.go") || strings.HasSuffix(name, "_js.go") || only != "" && name != only {
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

// shuffled puts the mutants in a random order, so that whatever is tried first is a fair
// sample.
func shuffled(list []mutant, seed uint64) []mutant {
	out := make([]mutant, len(list))
	for i, j := range rand.New(rand.NewPCG(seed, 0)).Perm(len(list)) {
		out[i] = list[j]
	}
	return out
}

// inSourceOrder drops what was not tried and sorts the rest by place.
func inSourceOrder(list []mutant, outcomes []outcome) ([]mutant, []outcome) {
	var order []int
	for i, v := range outcomes {
		if v != untried {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(list[a].file, list[b].file), cmp.Compare(list[a].offset, list[b].offset),
			cmp.Compare(list[a].to, list[b].to))
	})
	var m []mutant
	var v []outcome
	for _, i := range order {
		m, v = append(m, list[i]), append(v, outcomes[i])
	}
	return m, v
}

// key names a mutant without its line number, so that it survives edits elsewhere.
func key(m mutant) string {
	return fmt.Sprintf("%s | %s -> %s | %s", m.file, m.from, m.to, m.sourceLine)
}

// readEquivalent reads lines "file | from -> to | source line # reason"; a list that does not
// exist is empty.
func readEquivalent(path string) (map[string]string, error) {
	f, err := os.Open(path)
	if os.IsNotExist(err) {
		return nil, nil
	}
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
		at := strings.LastIndex(line, " # ")
		if at < 0 || strings.TrimSpace(line[at+3:]) == "" {
			return nil, fmt.Errorf("%s:%d: no reason after \" # \"", path, n)
		}
		out[strings.TrimSpace(line[:at])] = line[at+3:]
	}
	return out, scan.Err()
}

// stale lists what is said to change nothing and is no longer there to be changed.
func stale(known map[string]string, list []mutant) []string {
	missing := map[string]bool{}
	for line := range known {
		missing[line] = true
	}
	for _, m := range list {
		delete(missing, key(m))
	}
	var out []string
	for line := range missing {
		out = append(out, line)
	}
	slices.Sort(out)
	return out
}

var label = map[outcome]string{survived: "survived", pinnedOnly: "moved   "}

// tally counts outcomes.
type tally [untried + 1]int

// print writes one line of the report.
func (t *tally) print(name string) {
	noticed := t[killed] + t[killedByDerive] + t[pinnedOnly]
	counted, share := noticed+t[survived], 100.0
	if counted > 0 {
		share = 100 * float64(noticed) / float64(counted)
	}
	fmt.Printf("%-22s %4d of %4d noticed  %5.1f %%  (%d by derive's tests only, %d by pinned bits only; %d change "+
		"nothing, %d do not build)\n",
		name, noticed, counted, share, t[killedByDerive], t[pinnedOnly], t[equivalent], t[unbuilt])
}

// report prints how many were noticed for each file, then the survivors.
func report(list []mutant, outcomes []outcome) {
	files := map[string]*tally{}
	var names []string
	var all tally
	for i, m := range list {
		if files[m.file] == nil {
			files[m.file] = &tally{}
			names = append(names, m.file)
		}
		files[m.file][outcomes[i]]++
		all[outcomes[i]]++
	}
	for _, name := range names {
		files[name].print(name)
	}
	all.print("all")
	for i, m := range list {
		if v := outcomes[i]; v == survived || v == pinnedOnly {
			fmt.Println(label[v], m)
		}
	}
}
