// Command parity proves that the derived tables do not depend on the machine: it
// derives the same datasets in every way that there is here (processors, core
// counts, locales and time zones, WebAssembly under Node and in browsers) and
// compares every byte, with each other and with the tables on disk. What this
// machine cannot do is skipped, saying so.
//
//	go run ./scripts/parity          the demonstration
//	go run ./scripts/parity -all     real recordings and 200 invented sessions too
package main

import (
	"flag"
	"fmt"
	"os"
)

func main() {
	all := flag.Bool("all", false, "also the real recordings and the large invented dataset")
	flag.Parse()
	if err := run(*all); err != nil {
		fmt.Fprintln(os.Stderr, "parity:", err)
		os.Exit(1)
	}
}

func run(all bool) error {
	temp, err := os.MkdirTemp("", "parity")
	if err != nil {
		return err
	}
	defer os.RemoveAll(temp)
	ways, err := availableWays(temp)
	if err != nil {
		return err
	}
	sets, err := availableSets(temp, all)
	if err != nil {
		return err
	}

	// Derive every set in every way.
	var sum tally
	for _, s := range sets {
		if err := s.compare(ways, &sum); err != nil {
			return err
		}
	}
	fmt.Printf("%d derivations, %d bytes compared, %d tables differ\n", sum.runs, sum.bytes, sum.differ)
	if sum.differ > 0 {
		return fmt.Errorf("the derived tables depend on the machine")
	}
	return nil
}

// tally counts what was done.
type tally struct{ runs, bytes, differ int }

// compare derives the set in every way. The tables on disk are what they should
// be; a set that has none takes the first way's.
func (s set) compare(ways []way, sum *tally) error {
	want := s.tables
	for _, w := range ways {
		got, err := w.derive(s)
		if err != nil {
			return fmt.Errorf("%s, %s: %w", s.name, w.name, err)
		}
		if want == nil {
			want = got
		}
		found := differences(want, got)
		sum.runs, sum.bytes, sum.differ = sum.runs+1, sum.bytes+got.bytes(), sum.differ+len(found)
		fmt.Printf("%-16s %-64s %d tables, %7d bytes, %d differ\n", s.name, w.name, len(got), got.bytes(), len(found))
		for _, place := range found {
			fmt.Println("  " + place)
		}
	}
	return nil
}

// skip says what this machine cannot do.
func skip(what, why string) { fmt.Printf("skipped: %s: %s\n", what, why) }
