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
	"strconv"
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
	alone, err := b.alone()
	if err != nil {
		return err
	}
	if err := derive("that session", alone, "off"); err != nil {
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
		for _, which := range []string{"middle", "last"} {
			if err := b.change(which); err != nil {
				return err
			}
			if err := derive(which+" changed", b.data, kept); err != nil {
				return err
			}
		}
		if err := os.RemoveAll(filepath.Join(b.data, "derived")); err != nil {
			return err
		}
		if err := derive("tables gone", b.data, kept); err != nil {
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

// folders lists the sessions.
func (b *bench) folders() ([]string, error) {
	folders, err := filepath.Glob(filepath.Join(b.data, "sessions", "*"))
	if err == nil && len(folders) == 0 {
		err = fmt.Errorf("no sessions in %s", b.data)
	}
	return folders, err
}

// alone copies the session in the middle into a dataset of its own, without tables.
func (b *bench) alone() (dir string, err error) {
	dir = filepath.Join(b.dir, "alone")
	folders, err := b.folders()
	if err == nil {
		err = os.RemoveAll(dir)
	}
	if err == nil {
		middle := folders[len(folders)/2]
		err = os.CopyFS(filepath.Join(dir, "sessions", filepath.Base(middle)), os.DirFS(middle))
	}
	for _, name := range []string{"dataset.yaml", "runners.csv", "shoes.csv", "venues.csv"} {
		var text []byte
		if err == nil {
			text, err = os.ReadFile(filepath.Join(b.data, name))
		}
		if err == nil {
			err = os.WriteFile(filepath.Join(dir, name), text, 0o666)
		}
	}
	return dir, err
}

// change takes a second off the end of the first block of a session, which changes
// everything that is compared of it and was never there before.
func (b *bench) change(which string) error {
	folders, err := b.folders()
	if err != nil {
		return err
	}
	path := filepath.Join(map[string]string{"middle": folders[len(folders)/2], "last": folders[len(folders)-1]}[which], "blocks.csv")
	text, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	lines := strings.Split(string(text), "\n")
	cells := strings.Split(lines[1], ",")
	end, err := strconv.ParseFloat(cells[3], 64)
	if err != nil {
		return fmt.Errorf("%s: the first block's end: %w", path, err)
	}
	cells[3] = strconv.FormatFloat(end-1, 'f', 1, 64)
	lines[1] = strings.Join(cells, ",")
	return os.WriteFile(path, []byte(strings.Join(lines, "\n")), 0o666)
}

// print prints the costs, and the ratios that matter.
func (b *bench) print(engine bool) {
	fmt.Printf("%-14s %8s %8s %8s\n", "least of each", "wall s", "cpu s", "peak MB")
	derivations := []string{"cold", "no cache", "warm", "middle changed", "last changed", "tables gone", "that session"}
	for _, what := range append(derivations, "plain", "typed", "hashing") {
		if c, there := b.least[what]; there {
			fmt.Printf("%-14s %8.3f %8.3f %8d\n", what, c.wall.Seconds(), c.cpu.Seconds(), c.peakMB)
		}
	}
	wall := func(what string) float64 { return b.least[what].wall.Seconds() }
	if engine {
		fmt.Printf("cold / engine                      %6.2f\ncold / engine, types given         %6.2f\n", wall("cold")/wall("plain"), wall("cold")/wall("typed"))
	}
	fmt.Printf("cold / warm                        %6.1f\nwarm / hashing with SHA-256        %6.2f\n", wall("cold")/wall("warm"), wall("warm")/wall("hashing"))
	for _, which := range []string{"middle changed", "last changed"} {
		fmt.Printf("%-14s / (warm + that session)        %6.2f\n%-14s / (tables gone + that session) %6.2f\n",
			which, wall(which)/(wall("warm")+wall("that session")), which, wall(which)/(wall("tables gone")+wall("that session")))
	}
	peak := int64(0)
	for _, what := range derivations {
		peak = max(peak, b.least[what].peakMB)
	}
	fmt.Printf("highest peak of derive             %6d MB\n", peak)
}
