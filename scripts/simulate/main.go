// Command simulate asks how often the intervals hold the truth: it draws trials
// from a known model in several designs, compares the shoes of each exactly as
// the product does, and prints a table of what came of it, in Markdown.
//
//	go run ./scripts/simulate [-n 2000] [-seed 1]
//
// All shoes are truly equal in every trial, so that one run shows both how often
// an interval holds the true difference and how often shoes are told apart that
// do not differ. On the analysis scale a true difference would only shift every
// estimate and interval by itself.
//
// The estimand is the runner's long-run mean difference. Where a shoe does
// better on some days than on others, what one session shows is the difference
// of that day; its coverage is given apart.
package main

import (
	"bufio"
	"flag"
	"fmt"
	"os"
	"runtime"
	"sync"
)

func main() {
	n := flag.Int("n", 2000, "trials of each design")
	seed := flag.Uint64("seed", 1, "seed of the random numbers")
	flag.Parse()
	if *n < 2 || flag.NArg() > 0 {
		flag.Usage()
		os.Exit(2)
	}
	out := bufio.NewWriter(os.Stdout)
	fmt.Fprintf(out, "%d trials of each design, seed %d.\n\n", *n, *seed)
	heading(out)
	for i, d := range designs {
		summarise(d, study(d, i, *n, *seed)).print(out)
		out.Flush()
	}
	footnotes(out)
	if err := out.Flush(); err != nil {
		fmt.Fprintln(os.Stderr, "simulate:", err)
		os.Exit(1)
	}
}

// study simulates n trials of a design. Each has its own random numbers, so the
// result does not depend on how many run at once.
func study(d design, number, n int, seed uint64) []outcome {
	outcomes := make([]outcome, n)
	var workers sync.WaitGroup
	for w := range runtime.GOMAXPROCS(0) {
		workers.Add(1)
		go func() {
			defer workers.Done()
			for i := w; i < n; i += runtime.GOMAXPROCS(0) {
				outcomes[i] = judge(draw(d, seed, uint64(number)<<32|uint64(i)))
			}
		}()
	}
	workers.Wait()
	return outcomes
}
