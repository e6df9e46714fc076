// Command sidebyside times derive beside a general-purpose columnar SQL engine on
// the same invented dataset, run by run in turn, and prints the least of each: the
// machine may have other things to do. The engine only reads the same recordings
// and averages each block; derive does all it does.
//
//	go run ./scripts/sidebyside
//
// It needs Node and npm, which fetches the pinned engine into a folder for
// temporary files; nothing of it becomes part of the program.
package main

import (
	"crypto/sha256"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"soletrial/pipeline/crew"
)

func main() {
	sessions := flag.Int("sessions", 1900, "sessions of an hour, about 213 kB each")
	repeats := flag.Int("repeats", 3, "how often everything is run")
	engine := flag.Bool("engine", true, "run the engine, too")
	flag.Parse()
	if err := run(*sessions, *repeats, *engine); err != nil {
		fmt.Fprintln(os.Stderr, "sidebyside:", err)
		os.Exit(1)
	}
}

func run(sessions, repeats int, engine bool) error {
	dir, err := os.MkdirTemp("", "soletrial-sidebyside-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	b := &bench{dir: dir, data: filepath.Join(dir, "data"), least: map[string]cost{}}
	if err := b.prepare(sessions, engine); err != nil {
		return err
	}
	for range repeats {
		if err := b.round(engine); err != nil {
			return err
		}
	}
	b.print(engine)
	return nil
}

// bench is one comparison.
type bench struct {
	dir, data string
	least     map[string]cost
}

// cost is what a run took.
type cost struct {
	wall, cpu time.Duration
	peakMB    int64
}

// prepare builds the program, writes the datasets and fetches the engine.
func (b *bench) prepare(sessions int, engine bool) error {
	steps := [][]string{
		{"go", "build", "-trimpath", "-o", filepath.Join(b.dir, "soletrial"), "./cmd/soletrial"},
		{"go", "run", "./scripts/bulk", "-o", b.data, "-sessions", fmt.Sprint(sessions)},
		{"go", "run", "./scripts/bulk", "-o", filepath.Join(b.dir, "ten"), "-sessions", "10"},
	}
	if engine {
		steps = append(steps, []string{"npm", "install", "--no-package-lock", "--no-audit", "--no-fund", "--silent", "--prefix", b.dir})
		for _, name := range []string{"package.json", "query.mjs"} {
			text, err := os.ReadFile(filepath.Join("scripts/sidebyside", name))
			if err != nil {
				return err
			}
			if err := os.WriteFile(filepath.Join(b.dir, name), text, 0o666); err != nil {
				return err
			}
		}
	}
	for _, step := range steps {
		if out, err := exec.Command(step[0], step[1:]...).CombinedOutput(); err != nil {
			return fmt.Errorf("%s: %w\n%s", strings.Join(step, " "), err, out)
		}
	}
	return nil
}

// round runs everything once, in turn.
func (b *bench) round(engine bool) error {
	kept := filepath.Join(b.dir, "cache")
	derive := func(what, data, cache string) error {
		return b.time(what, exec.Command(filepath.Join(b.dir, "soletrial"), "derive", "-d", data, "--cache", cache))
	}
	if err := os.RemoveAll(kept); err != nil {
		return err
	}
	if err := derive("ten sessions", filepath.Join(b.dir, "ten"), "off"); err != nil {
		return err
	}
	if err := derive("cold", b.data, kept); err != nil {
		return err
	}
	if engine {
		for _, how := range []string{"typed", "plain"} {
			if err := b.time(how, exec.Command("node", filepath.Join(b.dir, "query.mjs"), b.data, how)); err != nil {
				return err
			}
		}
	}
	if err := b.floor(); err != nil {
		return err
	}
	for range 3 {
		if err := derive("warm", b.data, kept); err != nil {
			return err
		}
		if err := b.change(); err != nil {
			return err
		}
		if err := derive("one changed", b.data, kept); err != nil {
			return err
		}
	}
	return derive("no cache", b.data, "off")
}

// time runs a program and keeps its cost where it is the least so far.
func (b *bench) time(what string, command *exec.Cmd) error {
	start := time.Now()
	if out, err := command.CombinedOutput(); err != nil {
		return fmt.Errorf("%s: %w\n%s", what, err, out)
	}
	b.keep(what, cost{time.Since(start), command.ProcessState.UserTime() + command.ProcessState.SystemTime(), peakMB(command.ProcessState)})
	return nil
}

func (b *bench) keep(what string, c cost) {
	least, known := b.least[what]
	if !known {
		b.least[what] = c
		return
	}
	b.least[what] = cost{min(least.wall, c.wall), min(least.cpu, c.cpu), max(least.peakMB, c.peakMB)}
}

// floor reads and hashes every file of the dataset once, by as many workers as
// there are processors.
func (b *bench) floor() error {
	start := time.Now()
	var paths []string
	err := filepath.WalkDir(b.data, func(path string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && !strings.Contains(path, "derived") {
			paths = append(paths, path)
		}
		return err
	})
	if err != nil {
		return err
	}
	errs := make([]error, len(paths))
	crew.Do(runtime.GOMAXPROCS(0), len(paths), func(i int) {
		var text []byte
		text, errs[i] = os.ReadFile(paths[i])
		sha256.Sum256(text)
	})
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	b.keep("hashing", cost{wall: time.Since(start)})
	return nil
}

// change moves the end of the first block of a session in the middle by a second,
// which changes everything that is compared of it.
func (b *bench) change() error {
	folders, err := filepath.Glob(filepath.Join(b.data, "sessions", "*"))
	if err != nil {
		return err
	}
	path := filepath.Join(folders[len(folders)/2], "blocks.csv")
	text, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	now := strings.Replace(string(text), ",912.0,", ",911.0,", 1)
	if now == string(text) {
		now = strings.Replace(string(text), ",911.0,", ",912.0,", 1)
	}
	if now == string(text) {
		return fmt.Errorf("%s holds no first block that ends at 912 s", path)
	}
	return os.WriteFile(path, []byte(now), 0o666)
}

// print prints the costs, and the ratios that matter.
func (b *bench) print(engine bool) {
	fmt.Printf("%-14s %8s %8s %8s\n", "least of each", "wall s", "cpu s", "peak MB")
	for _, what := range []string{"cold", "no cache", "plain", "typed", "warm", "one changed", "ten sessions", "hashing"} {
		if c, there := b.least[what]; there {
			fmt.Printf("%-14s %8.3f %8.3f %8d\n", what, c.wall.Seconds(), c.cpu.Seconds(), c.peakMB)
		}
	}
	wall := func(what string) float64 { return b.least[what].wall.Seconds() }
	if engine {
		fmt.Printf("cold / engine                      %6.2f\ncold / engine, types given         %6.2f\n", wall("cold")/wall("plain"), wall("cold")/wall("typed"))
	}
	fmt.Printf("cold / warm                        %6.1f\nwarm / hashing with SHA-256        %6.2f\none changed / (warm + a session)   %6.2f\nhighest peak of derive             %6d MB\n",
		wall("cold")/wall("warm"), wall("warm")/wall("hashing"), wall("one changed")/(wall("warm")+wall("ten sessions")/10),
		max(b.least["cold"].peakMB, b.least["warm"].peakMB, b.least["one changed"].peakMB))
}
