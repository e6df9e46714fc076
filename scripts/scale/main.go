// Command scale runs the program on large invented datasets and prints what each command took: wall
// time, processor time, the most memory held, and the bytes it wrote.
//
//	go run ./scripts/scale                     3,000 sessions of a quarter of an hour in 4 shoes,
//	                                           and 400 sessions of an hour in 60
//	go run ./scripts/scale -sessions 10000     one dataset of that many sessions
//	go run ./scripts/scale -explorer           the explorer over each site besides, in a browser
//
// A command that fails, above all because one of the program's own readers refuses what the program
// wrote, ends it with exit status 1. The README beside it says what was measured.
package main

import (
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"

	"soletrial/scripts/timed"
)

// size is how large a dataset is.
type size struct{ sessions, minutes, shoes int }

// sizes are those that people may come to: many short sessions, and many shoes.
var sizes = []size{{3000, 15, 4}, {400, 60, 60}}

func main() {
	var one size
	flag.IntVar(&one.sessions, "sessions", 0, "only one dataset, of so many sessions, 10 to 10000")
	flag.IntVar(&one.minutes, "minutes", 15, "how long its sessions are")
	flag.IntVar(&one.shoes, "shoes", 4, "how many shoes it has, 2 to 60")
	explorer := flag.Bool("explorer", false, "open each site's explorer, in the browser that CHROMIUM names")
	flag.Parse()
	chosen := sizes
	if one.sessions > 0 {
		chosen = []size{one}
	}
	if err := run(os.Stdout, chosen, *explorer); err != nil {
		fmt.Fprintln(os.Stderr, "scale:", err)
		os.Exit(1)
	}
}

// run builds the program and measures it at each size.
func run(out io.Writer, chosen []size, explorer bool) error {
	dir, err := os.MkdirTemp("", "soletrial-scale-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	b := bench{out: out, explorer: explorer, dir: dir, program: filepath.Join(dir, "soletrial.exe"),
		bulk: filepath.Join(dir, "bulk.exe")}
	for program, pkg := range map[string]string{b.program: "./cmd/soletrial", b.bulk: "./scripts/bulk"} {
		if _, err := timed.Run(exec.Command("go", "build", "-trimpath", "-o", program, pkg)); err != nil {
			return err
		}
	}
	fmt.Fprintf(out, "| sessions x minutes x shoes | command | wall, s | processor, s | peak, MB | written, kB |\n"+
		"|---|---|---|---|---|---|\n")
	for i, s := range chosen {
		if err := b.measure(filepath.Join(dir, strconv.Itoa(i)), s); err != nil {
			return err
		}
	}
	return nil
}

// bench is where the measuring takes place.
type bench struct {
	out                io.Writer
	explorer           bool
	dir, program, bulk string
}

// write writes an invented dataset.
func (b *bench) write(data string, s size, runners, seed int) error {
	args := []string{"-o", data}
	for flag, n := range map[string]int{"-sessions": s.sessions, "-minutes": s.minutes, "-shoes": s.shoes,
		"-runners": runners, "-seed": seed} {
		args = append(args, flag, strconv.Itoa(n))
	}
	_, err := timed.Run(exec.Command(b.bulk, args...))
	return err
}

// toPool writes and derives two datasets of one runner each, of a few short sessions in so many
// shoes.
func (b *bench) toPool(data string, shoes int) (folders [2]string, err error) {
	for i := range folders {
		folders[i] = data + "-of-" + strconv.Itoa(i)
		if err := b.write(folders[i], size{12, 15, shoes}, 1, i+1); err != nil {
			return folders, err
		}
		if _, err := timed.Run(exec.Command(b.program, "derive", "-d", folders[i])); err != nil {
			return folders, err
		}
	}
	return folders, nil
}

// measure runs every command that grows with the dataset, one after the other, and prints a row for
// each.
func (b *bench) measure(data string, s size) error {
	if err := b.write(data, s, 3, 1); err != nil {
		return err
	}
	pooled, err := b.toPool(data, s.shoes)
	if err != nil {
		return err
	}
	// Every command in the order of a user's work.
	site, pictures := data+"-site", data+"-pictures"
	for _, step := range []struct {
		writes string
		args   []string
	}{
		{filepath.Join(data, "derived"), []string{"derive", "-d", data}},
		{"", []string{"derive", "--verify", "-d", data}},
		{"", []string{"check", "-d", data}},
		{"", []string{"compare", "-d", data}},
		{site, []string{"publish", "-d", data, "-o", site}},
		{"", []string{"pool", pooled[0], pooled[1]}},
		{pictures, []string{"pictures", "-d", data, "-o", pictures}},
	} {
		cost, err := timed.Run(exec.Command(b.program, step.args...))
		if err != nil {
			return err
		}
		// What it wrote, and a row of the table.
		written := int64(0)
		if step.writes != "" {
			if written, err = bytesIn(step.writes); err != nil {
				return err
			}
		}
		name := step.args[0]
		if step.args[1] == "--verify" {
			name += " --verify"
		}
		fmt.Fprintf(b.out, "| %d x %d x %d | %s | %.1f | %.1f | %d | %d |\n", s.sessions, s.minutes, s.shoes, name,
			cost.Wall.Seconds(), cost.CPU.Seconds(), cost.PeakMB, written/1000)
	}
	if b.explorer {
		return b.explore(s, site)
	}
	return nil
}

// explored is what the browser's test says that a step took.
var explored = regexp.MustCompile(`large_site_test\.go:[0-9]+: (.+): ([0-9.]+) s`)

// explore opens the explorer of a site and prints what each step took.
func (b *bench) explore(s size, site string) error {
	command := exec.Command("go", "test", "-count=1", "-v", "-run", "TestExplorerOnLargeSites$", "./cmd/soletrial")
	command.Env = append(os.Environ(), "SOLETRIAL_LARGE_SITES="+site, "SOLETRIAL_BROWSER=required")
	said, err := command.CombinedOutput()
	if err != nil {
		return fmt.Errorf("the explorer: %w\n%s", err, said)
	}
	for _, step := range explored.FindAllStringSubmatch(string(said), -1) {
		fmt.Fprintf(b.out, "| %d x %d x %d | explorer: %s | %s | | | |\n", s.sessions, s.minutes, s.shoes, step[1],
			step[2])
	}
	return nil
}

// bytesIn adds up the files of a folder.
func bytesIn(dir string) (sum int64, err error) {
	err = filepath.WalkDir(dir, func(_ string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		if err == nil {
			sum += info.Size()
		}
		return err
	})
	return sum, err
}
