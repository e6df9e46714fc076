package main

import (
	"bufio"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
)

// trap is something hostile that is put where the program expects a dataset or a
// recording.
type trap struct {
	name         string
	setUp        func(dir string) error // changes the folder, which holds the small dataset in data
	args         []string
	code         int
	stderr       string // a regular expression for standard error
	maxMegabytes int64  // megabytes of memory
}

// small is a dataset of one session, for traps.
func (c *campaign) small() (tree, error) {
	demo, err := c.demo()
	part := tree{}
	for name, text := range demo {
		if !strings.HasPrefix(name, "data/sessions/") || strings.HasPrefix(name, "data/sessions/2026-03-07-power/") {
			part[name] = text
		}
	}
	return part, err
}

// tryTrap runs the program on one trap and judges the outcome: it must end with the
// right code and message, nothing written, in time and without much memory.
func (c *campaign) tryTrap(t *tally, dataset tree, trap trap) error {
	dir, err := c.newFolder(dataset)
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	if err := trap.setUp(dir); err != nil {
		return fmt.Errorf("cannot set up %q: %w", trap.name, err)
	}

	// Run, and compare the folder before and after.
	before, err := readTree(dir)
	if err != nil {
		return err
	}
	o := c.soletrial(dir, trap.args...)
	after, err := readTree(dir)
	if err != nil {
		return err
	}

	// A failed run wrote nothing.
	wrong := trap.problems(o)
	if trap.code != 0 {
		for _, w := range after.differences(before) {
			wrong = append(wrong, "the run that failed wrote: "+w)
		}
	}
	for name, text := range before {
		if _, kept := after[name]; !kept {
			t.lost += int64(len(text))
		}
	}
	c.judge(t, trap.name, wrong)
	return nil
}

func (t trap) problems(o outcome) (wrong []string) {
	if o.hung {
		wrong = append(wrong, fmt.Sprintf("hangs: not done after %v", o.took))
	}
	if o.code != t.code {
		wrong = append(wrong, fmt.Sprintf("ends with %d instead of %d: %s", o.code, t.code, truncated(o.err)))
	}
	if !regexp.MustCompile(t.stderr).MatchString(o.err) {
		wrong = append(wrong, fmt.Sprintf("does not say %q but: %s", t.stderr, truncated(o.err)))
	}
	if most := max(t.maxMegabytes, 150); o.megabytes > most {
		wrong = append(wrong, fmt.Sprintf("takes %d MB of memory, more than %d", o.megabytes, most))
	}
	return wrong
}

func truncated(text string) string {
	const enough = 600
	if len(text) > enough {
		return text[:enough] + " ..."
	}
	return text
}

// tryTraps tries a list of traps as one line of the table.
func (c *campaign) tryTraps(fault string, traps []trap) error {
	dataset, err := c.small()
	if err != nil {
		return err
	}
	t := c.count(fault)
	for _, trap := range traps {
		if err := c.tryTrap(t, dataset, trap); err != nil {
			return err
		}
	}
	return nil
}

// tryHostile puts text that is made to do harm where text is expected.
func (c *campaign) tryHostile() error {
	for _, list := range []struct {
		fault string
		traps []trap
	}{
		{"YAML bombs and deep nesting", yamlTraps()},
		{"huge tables and long lines", tableTraps()},
		{"files of 5 GB without content", sparseTraps()},
		{"names and paths that lead elsewhere", nameTraps()},
		{"recordings made to do harm", recordingTraps()},
	} {
		if err := c.tryTraps(list.fault, list.traps); err != nil {
			return fmt.Errorf("%s: %w", list.fault, err)
		}
	}
	return nil
}

// sessionFolder is where the only session of the small dataset is.
const sessionFolder = "data/sessions/2026-03-07-power"

// piece is a text that comes several times after each other. Traps are written
// piece by piece: what this program holds would count as what the one it starts
// holds.
type piece struct {
	text  string
	times int
}

// writeText writes a file of a try.
func writeText(path string, text string) func(string) error { return writePieces(path, piece{text, 1}) }

// create makes an empty file and the folder that it is in.
func create(dir, path string) (*os.File, error) {
	full := filepath.Join(dir, filepath.FromSlash(path))
	if err := os.MkdirAll(filepath.Dir(full), 0o777); err != nil {
		return nil, err
	}
	return os.Create(full)
}

// writePieces writes a file of a try from pieces that are repeated.
func writePieces(path string, list ...piece) func(string) error {
	return func(dir string) error {
		file, err := create(dir, path)
		if err != nil {
			return err
		}
		out := bufio.NewWriter(file)
		for _, p := range list {
			for range p.times {
				out.WriteString(p.text)
			}
		}
		return errors.Join(out.Flush(), file.Close())
	}
}

// all does several things to the folder of a try.
func all(steps ...func(string) error) func(string) error {
	return func(dir string) error {
		for _, step := range steps {
			if err := step(dir); err != nil {
				return err
			}
		}
		return nil
	}
}

// edit replaces text in a file of a try; it must be there.
func edit(path, old, text string) func(string) error {
	return func(dir string) error {
		full := filepath.Join(dir, filepath.FromSlash(path))
		was, err := os.ReadFile(full)
		if err != nil {
			return err
		}
		if !strings.Contains(string(was), old) {
			return fmt.Errorf("%s does not hold %q", path, old)
		}
		return os.WriteFile(full, []byte(strings.Replace(string(was), old, text, 1)), 0o666)
	}
}
