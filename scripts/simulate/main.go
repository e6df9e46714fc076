// Command simulate asks what the numbers are worth: it draws trials from a known model in
// several designs, analyses each exactly as the product does, and prints tables of what came
// of it, in Markdown.
//
//	go run ./scripts/simulate [-table decisions|recorded|intervals] [-n 1000] [-seed 1]
//
// decisions is the decision model: how often it claims a difference that is not there, finds
// one that is, how often its intervals hold the truth, how much too sure its chances are, and
// how often each status comes up. It fails where a limit that the paper of the model states is
// broken by more than chance.
//
// recorded is whole trials of two shoes, from the samples of their recordings through steady
// windows, findings, ground distances and sensors to the answer and its evidence: equal shoes
// with something wrong, and shoes that differ. It fails where a limit is broken by more than
// chance.
//
// intervals is the analysis without assumptions: all shoes are truly equal in every trial, so
// that one run shows both how often an interval holds the true difference and how often shoes
// that do not differ are found to. On the analysis scale a true difference would only shift
// every estimate and interval by itself. The estimand is the runner's long-run mean
// difference. Where a shoe does better on some days than on others, what one session shows is
// the difference of that day; its coverage is given apart.
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
	table := flag.String("table", "decisions", "decisions, recorded or intervals")
	n := flag.Int("n", 1000, "trials of each design")
	seed := flag.Uint64("seed", 1, "seed of the random numbers")
	flag.Parse()
	if *n < 2 || flag.NArg() > 0 || *table != "decisions" && *table != "intervals" && *table != "recorded" {
		flag.Usage()
		os.Exit(2)
	}
	out := bufio.NewWriter(os.Stdout)
	fmt.Fprintf(out, "%d trials of each design, seed %d.\n\n", *n, *seed)
	// A promise that a table breaks ends the program with 1, after all tables.
	var broken []string
	switch *table {
	case "decisions":
		broken = decisions(out, *n, *seed, out.Flush)
	case "recorded":
		broken = recorded(out, *n, *seed, out.Flush)
	default:
		intervals(out, *n, *seed)
	}
	if err := out.Flush(); err != nil {
		broken = append(broken, err.Error())
	}
	for _, b := range broken {
		fmt.Fprintln(os.Stderr, "simulate:", b)
	}
	if len(broken) > 0 {
		os.Exit(1)
	}
}

// intervals prints the table of the analysis without assumptions.
func intervals(out *bufio.Writer, n int, seed uint64) {
	heading(out)
	for i, d := range designs {
		summarise(d, study(d, i, n, seed)).print(out)
		out.Flush()
	}
	footnotes(out)
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
