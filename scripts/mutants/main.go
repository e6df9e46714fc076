// Command mutants imports thousands of damaged recordings and holds the program to its
// word: an import either writes nothing, or a dataset that check can read.
//
//	go run ./scripts/mutants [-n 3000] [-seed 1] FILE...
//
// Each mutant is one of the files with a few changes that damage, bad exports and
// half-written files make: bytes flipped, cut off, doubled, zeroed or swapped. The
// changes depend on the seed alone. It prints what was refused and what was taken,
// and ends with 1 at the first broken promise, whose file it leaves behind.
package main

import (
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
)

func main() {
	n := flag.Int("n", 3000, "how many mutants")
	seed := flag.Uint64("seed", 1, "of the changes")
	flag.Parse()
	if err := run(*n, *seed, flag.Args()); err != nil {
		fmt.Fprintln(os.Stderr, "mutants:", err)
		os.Exit(1)
	}
}

// run imports n mutants of the files, each into a dataset of its own.
func run(n int, seed uint64, files []string) error {
	if len(files) == 0 {
		return errors.New("name the recordings to damage")
	}
	dir, err := os.MkdirTemp("", "mutants-")
	if err != nil {
		return err
	}
	// The program, and a dataset to import into.
	lab := lab{program: filepath.Join(dir, "soletrial"), dataset: filepath.Join(dir, "dataset")}
	build := exec.Command("go", "build", "-o", lab.program, "./cmd/soletrial")
	build.Stderr = os.Stderr
	if err := build.Run(); err != nil {
		return fmt.Errorf("cannot build the program: %w", err)
	}
	if code, out := lab.soletrial("init", lab.dataset); code != 0 {
		return fmt.Errorf("init ended with %d: %s", code, out)
	}
	// One mutant after the other.
	taken := 0
	for i := range n {
		original := files[i%len(files)]
		text, err := os.ReadFile(original)
		if err != nil {
			return err
		}
		chance := rand.New(rand.NewPCG(seed, uint64(i)))
		mutant := filepath.Join(dir, "mutant"+filepath.Ext(original))
		if err := os.WriteFile(mutant, mutate(text, chance), 0o666); err != nil {
			return err
		}
		wrote, err := lab.try(mutant)
		if err != nil {
			return fmt.Errorf("mutant %d of %s, left at %s: %w", i, original, mutant, err)
		}
		if wrote {
			taken++
		}
	}
	fmt.Printf("%d mutants of %d files: %d taken, %d refused; nothing was written that check refuses\n",
		n, len(files), taken, n-taken)
	return os.RemoveAll(dir)
}

// lab is the program and the dataset it is tried on.
type lab struct{ program, dataset string }

// try imports one file and reports whether that wrote a session. The error is a broken
// promise.
func (l lab) try(file string) (wrote bool, err error) {
	sessions := filepath.Join(l.dataset, "sessions")
	if err := os.RemoveAll(sessions); err != nil {
		return false, err
	}
	code, out := l.soletrial("-d", l.dataset, "import", "-s", "mutant", "--date", "2026-05-01", "--force", file)
	_, missing := os.Stat(sessions)
	switch {
	case code == 2 && missing != nil:
		return false, nil
	case code != 0:
		return false, fmt.Errorf("import ended with %d, sessions written: %v\n%s", code, missing == nil, out)
	}
	if code, out := l.soletrial("-d", l.dataset, "check"); code > 1 {
		return true, fmt.Errorf("check ended with %d after an import:\n%s", code, out)
	}
	if code, out := l.soletrial("-d", l.dataset, "tidy", "--dry-run"); code != 0 {
		return true, fmt.Errorf("what was written is not in canonical form:\n%s", out)
	}
	return true, nil
}

// soletrial runs the program; 128 stands for a run that was killed or panicked.
func (l lab) soletrial(args ...string) (code int, out string) {
	text, err := exec.Command(l.program, args...).CombinedOutput()
	var exit *exec.ExitError
	switch {
	case err == nil:
		return 0, string(text)
	case errors.As(err, &exit) && exit.ExitCode() >= 0:
		return exit.ExitCode(), string(text)
	}
	return 128, fmt.Sprintf("%v\n%s", err, text)
}

// mutate returns a copy of a file with one to eight changes.
func mutate(text []byte, chance *rand.Rand) []byte {
	out := append([]byte(nil), text...)
	for range 1 + chance.IntN(8) {
		if len(out) < 2 {
			return out
		}
		at := chance.IntN(len(out))
		span := min(len(out)-at, 1+chance.IntN(200))
		switch chance.IntN(6) {
		case 0, 1: // a few bits
			out[at] ^= byte(1 << chance.IntN(8))
		case 2: // cut off, mostly near the end
			out = out[:len(out)-chance.IntN(1+len(out)/4)]
		case 3: // written twice
			out = append(out[:at+span:at+span], out[at:]...)
		case 4: // never written
			for k := at; k < at+span; k++ {
				out[k] = 0
			}
		default: // lost
			out = append(out[:at], out[at+span:]...)
		}
	}
	return out
}
