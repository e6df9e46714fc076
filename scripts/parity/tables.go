package main

import (
	"bytes"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"unicode/utf8"
)

// tables are derived tables by name.
type tables map[string][]byte

// tablesOf reads the derived tables of a dataset on disk.
func tablesOf(dataset string) (tables, error) {
	folder := filepath.Join(dataset, "derived")
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, err
	}
	found := tables{}
	for _, entry := range entries {
		if found[entry.Name()], err = os.ReadFile(filepath.Join(folder, entry.Name())); err != nil {
			return nil, err
		}
	}
	if len(found) == 0 {
		return nil, fmt.Errorf("no derived tables in %q", folder)
	}
	return found, nil
}

// parse reads tables as the program inwasm writes them: for each a line with its
// length and name, and its bytes.
func parse(stream []byte) (tables, error) {
	found := tables{}
	for rest := bytes.NewBuffer(stream); rest.Len() > 0; {
		var name string
		var size int
		if _, err := fmt.Fscanf(rest, "%d %s\n", &size, &name); err != nil {
			return nil, fmt.Errorf("no tables but %.80q: %w", stream, err)
		}
		text := make([]byte, size)
		if _, err := io.ReadFull(rest, text); err != nil {
			return nil, fmt.Errorf("%s is cut off: %w", name, err)
		}
		found[name] = text
	}
	if len(found) == 0 {
		return nil, fmt.Errorf("no tables at all")
	}
	return found, nil
}

// bytes counts.
func (t tables) bytes() (n int) {
	for _, text := range t {
		n += len(text)
	}
	return n
}

// differences names, for each table that differs, the place of the first
// differing byte, with columns counted in characters.
func differences(want, got tables) []string {
	var list []string
	names := slices.Collect(maps.Keys(want))
	for name := range got {
		if _, meant := want[name]; !meant {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	for _, name := range names {
		a, meant := want[name]
		b, made := got[name]
		switch {
		case !made:
			list = append(list, name+": is not made")
		case !meant:
			list = append(list, name+": is made, but should not be")
		case !bytes.Equal(a, b):
			list = append(list, name+":"+firstDifference(a, b))
		}
	}
	return list
}

// firstDifference says where two texts part, and how each goes on.
func firstDifference(want, got []byte) string {
	at := 0
	for at < len(want) && at < len(got) && want[at] == got[at] {
		at++
	}
	start := bytes.LastIndexByte(want[:at], '\n') + 1
	line := bytes.Count(want[:at], []byte{'\n'}) + 1
	return fmt.Sprintf("%d:%d: %q, not %q", line, utf8.RuneCount(want[start:at])+1, restOfLine(got, at),
		restOfLine(want, at))
}

// restOfLine returns the rest of the line at an offset, not too much of it.
func restOfLine(text []byte, at int) []byte {
	rest := text[at:]
	if end := bytes.IndexByte(rest, '\n'); end >= 0 {
		rest = rest[:end+1]
	}
	return rest[:min(len(rest), 40)]
}
