package main

import (
	"bufio"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"strings"
)

// reach is which code the tests run, from a coverage profile.
type reach struct{ blocks []block }

// block is a stretch of code and how often it ran.
type block struct {
	file                       string // base name
	line, column, toLine, upTo int
	count                      int
}

// reached runs the tests once with coverage of the package.
func (b sandbox) reached() (reach, error) {
	var r reach
	for _, t := range b.tests {
		profile := filepath.Join(b.dir, "coverage")
		out, err := b.goCommand("test", "-short", "-vet=off", "-coverpkg=./"+b.pkg, "-coverprofile="+profile,
			"./"+t.pkg).CombinedOutput()
		if err != nil {
			return r, fmt.Errorf("coverage of %s: %v: %s", b.pkg, err, out)
		}
		text, err := os.ReadFile(profile)
		if err != nil {
			return r, err
		}
		if err := r.add(string(text)); err != nil {
			return r, err
		}
	}
	return r, nil
}

// add reads a coverage profile: lines "path/file.go:line.column,line.column statements count".
func (r *reach) add(profile string) error {
	scan := bufio.NewScanner(strings.NewReader(profile))
	for scan.Scan() {
		file, place, ok := strings.Cut(scan.Text(), ".go:")
		if !ok {
			continue // the first line, the mode
		}
		c, statements := block{file: path.Base(file) + ".go"}, 0
		if _, err := fmt.Sscanf(place, "%d.%d,%d.%d %d %d", &c.line, &c.column, &c.toLine, &c.upTo, &statements,
			&c.count); err != nil {
			return fmt.Errorf("coverage: %q: %v", scan.Text(), err)
		}
		r.blocks = append(r.blocks, c)
	}
	return scan.Err()
}

// has says whether the code of a mutant runs; code in no block, such as a declaration, does.
func (r reach) has(m mutant) bool {
	inside := false
	for _, c := range r.blocks {
		if c.file == m.file && !before(m.line, m.column, c.line, c.column) &&
			before(m.line, m.column, c.toLine, c.upTo) {
			if c.count > 0 {
				return true
			}
			inside = true
		}
	}
	return !inside
}

func before(line, column, otherLine, otherColumn int) bool {
	return line < otherLine || line == otherLine && column < otherColumn
}
