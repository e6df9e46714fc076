// Command sidebyside times derive beside a general-purpose columnar SQL engine on
// the same invented dataset, run by run in turn, and prints the least of each: the
// machine may have other things to do. The engine only reads the same recordings
// and averages each block; derive does all it does, from nothing. What of that goes into the
// analyses that show whether the answer is robust, and into the path to it, is printed besides.
//
//	go run ./scripts/sidebyside
//
// It needs Node and npm, which fetches the pinned engine into a folder for
// temporary files; nothing of it becomes part of the program.
package main

import (
	"crypto/sha256"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/parallel"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/scripts/timed"
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
	b := &bench{dir: dir, data: filepath.Join(dir, "data"), least: map[string]timed.Cost{}}
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
	least     map[string]timed.Cost
}

// prepare builds the program, writes the datasets and fetches the engine.
func (b *bench) prepare(sessions int, engine bool) error {
	steps := [][]string{
		{"go", "build", "-trimpath", "-o", filepath.Join(b.dir, "soletrial"), "./cmd/soletrial"},
		{"go", "run", "./scripts/bulk", "-o", b.data, "-sessions", fmt.Sprint(sessions)},
	}
	if engine {
		steps = append(steps, []string{"npm", "install", "--no-package-lock", "--no-audit", "--no-fund", "--silent",
			"--prefix", b.dir})
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
	if err := os.RemoveAll(filepath.Join(b.data, "derived")); err != nil {
		return err
	}
	program := filepath.Join(b.dir, "soletrial")
	if err := b.time("derive", exec.Command(program, "derive", "-d", b.data)); err != nil {
		return err
	}
	if engine {
		for _, how := range []string{"typed", "plain"} {
			if err := b.time(how, exec.Command("node", filepath.Join(b.dir, "query.mjs"), b.data, how)); err != nil {
				return err
			}
		}
	}
	if err := b.time("verify", exec.Command(program, "derive", "--verify", "-d", b.data)); err != nil {
		return err
	}
	if err := b.parts(); err != nil {
		return err
	}
	return b.hashing()
}

// parts times what derive does besides the answer: the analyses of robustness and the path to the
// answer, both made once more in this process.
func (b *bench) parts() error {
	workers := runtime.GOMAXPROCS(0)
	folder, problems := plaintext.Open(os.DirFS(b.data), yamltext.Read, workers)
	result, problems, err := derive.FromFolder(folder, problems, derive.Options{Workers: workers})
	if err != nil || len(problems) > 0 {
		return fmt.Errorf("the dataset cannot be derived here: %w, %v", err, problems)
	}
	in := answer.Inputs{Dataset: result.Dataset, Findings: result.Findings, Checks: result.Sensor,
		Accuracy: decide.Exact}
	start, used := time.Now(), timed.Used()
	result.Answers.Robustness(in, workers)
	b.keep("robustness", timed.Cost{Wall: time.Since(start), CPU: timed.Used() - used})
	start, used = time.Now(), timed.Used()
	for i := range result.Answers.Efforts {
		result.Answers.Efforts[i].Progress(in, workers)
	}
	b.keep("progress", timed.Cost{Wall: time.Since(start), CPU: timed.Used() - used})
	return nil
}

// time runs a program and keeps its cost where it is the least so far.
func (b *bench) time(what string, command *exec.Cmd) error {
	cost, err := timed.Run(command)
	if err != nil {
		return fmt.Errorf("%s: %w", what, err)
	}
	b.keep(what, cost)
	return nil
}

func (b *bench) keep(what string, c timed.Cost) {
	least, known := b.least[what]
	if !known {
		b.least[what] = c
		return
	}
	b.least[what] = timed.Cost{Wall: min(least.Wall, c.Wall), CPU: min(least.CPU, c.CPU),
		PeakMB: max(least.PeakMB, c.PeakMB)}
}

// hashing reads and hashes every file of the dataset once, by as many workers as
// there are processors.
func (b *bench) hashing() error {
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
	failures := parallel.Map(runtime.GOMAXPROCS(0), len(paths), func(i int) error {
		text, err := os.ReadFile(paths[i])
		sha256.Sum256(text)
		return err
	})
	b.keep("hashing", timed.Cost{Wall: time.Since(start)})
	return errors.Join(failures...)
}

// print prints the costs, and the ratios that matter.
func (b *bench) print(engine bool) {
	fmt.Printf("%-14s %8s %8s %8s\n", "least of each", "wall s", "cpu s", "peak MB")
	for _, what := range []string{"derive", "robustness", "progress", "verify", "plain", "typed", "hashing"} {
		if c, there := b.least[what]; there {
			fmt.Printf("%-14s %8.3f %8.3f %8d\n", what, c.Wall.Seconds(), c.CPU.Seconds(), c.PeakMB)
		}
	}
	if engine {
		fmt.Printf("%-35s %6s %6s\n", "ratio of", "wall", "cpu")
		b.printRatio("derive / engine", b.least["derive"], b.least["plain"])
		b.printRatio("derive / engine, types given", b.least["derive"], b.least["typed"])
		answer := b.least["derive"]
		for _, part := range []string{"robustness", "progress"} {
			answer.Wall, answer.CPU = answer.Wall-b.least[part].Wall, answer.CPU-b.least[part].CPU
		}
		b.printRatio("without robustness and progress", answer, b.least["typed"])
	}
}

// printRatio prints by how much one cost is the other, which processor time tells on a machine that
// others use too.
func (b *bench) printRatio(what string, one, other timed.Cost) {
	fmt.Printf("%-35s %6.2f %6.2f\n", what, one.Wall.Seconds()/other.Wall.Seconds(),
		one.CPU.Seconds()/other.CPU.Seconds())
}
