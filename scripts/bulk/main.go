// Command bulk writes an invented dataset of any size, to measure with and to try
// limits on. The same seed gives the same bytes on every machine: a session is
// drawn from its own random numbers, all arithmetic is on whole numbers, and the
// text is the dataset's canonical form.
//
//	go run ./scripts/bulk -o DIR -sessions 1000 -seed 1
//
// A session is an hour at one sample a second in nine columns, about 200 kB;
// -minutes makes it shorter or longer.
package main

import (
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
)

// The range of what is written: fewer sessions say nothing about scale, and a
// session must hold a few blocks that are long enough to compare.
const (
	fewest, most      = 10, 10_000
	shortest, longest = 15, 600 // minutes
	minShoes          = 2
	maxShoes          = 60
	maxRunners        = 3
)

func main() {
	out := flag.String("o", "", "the folder to write, new or empty")
	sessions := flag.Int("sessions", 100, "how many sessions, 10 to 10000")
	minutes := flag.Int("minutes", 60, "how long each is, 15 to 600")
	shoes := flag.Int("shoes", 6, "how many shoes, 2 to 60; a session has two or four of them")
	runners := flag.Int("runners", 3, "how many runners run them in turn, 1 to 3")
	seed := flag.Uint64("seed", 1, "seed of the random numbers")
	flag.Parse()
	n, err := write(*out, size{*sessions, *minutes, *shoes, *runners}, *seed)
	if err != nil {
		fmt.Fprintln(os.Stderr, "bulk:", err)
		os.Exit(1)
	}
	fmt.Printf("%d sessions, %d bytes in %s\n", *sessions, n, *out)
}

// size is how much to write.
type size struct{ sessions, minutes, shoes, runners int }

// write puts a dataset into a folder and returns its size in bytes.
func write(dir string, want size, seed uint64) (bytes int64, err error) {
	switch {
	case dir == "":
		return 0, errors.New("name the folder to write with -o")
	case want.sessions < fewest || want.sessions > most:
		return 0, fmt.Errorf("-sessions takes %d to %d", fewest, most)
	case want.minutes < shortest || want.minutes > longest:
		return 0, fmt.Errorf("-minutes takes %d to %d", shortest, longest)
	case want.shoes < minShoes || want.shoes > maxShoes:
		return 0, fmt.Errorf("-shoes takes %d to %d", minShoes, maxShoes)
	case want.runners < 1 || want.runners > maxRunners:
		return 0, fmt.Errorf("-runners takes 1 to %d", maxRunners)
	}

	// Never over anything that is there.
	entries, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return 0, err
	}
	if len(entries) > 0 {
		return 0, fmt.Errorf("%s is not empty", dir)
	}
	all := register(want.shoes)
	if bytes, err = save(dir, registers(all)); err != nil {
		return 0, err
	}

	// Sessions, on every core; each has random numbers of its own.
	sizes, errs := make([]int64, want.sessions), make([]error, want.sessions)
	var wait sync.WaitGroup
	next := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for i := range next {
				sizes[i], errs[i] = save(dir, session(i, want, all, seed))
			}
		})
	}
	for i := range want.sessions {
		next <- i
	}
	close(next)
	wait.Wait()
	for _, n := range sizes {
		bytes += n
	}
	return bytes, errors.Join(errs...)
}

// save writes files below a folder and returns their size.
func save(dir string, files map[string][]byte) (size int64, err error) {
	for _, path := range slices.Sorted(maps.Keys(files)) {
		full := filepath.Join(dir, filepath.FromSlash(path))
		if err := os.MkdirAll(filepath.Dir(full), 0o777); err != nil {
			return size, err
		}
		if err := os.WriteFile(full, files[path], 0o666); err != nil {
			return size, err
		}
		size += int64(len(files[path]))
	}
	return size, nil
}
