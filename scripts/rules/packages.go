package main

import (
	"fmt"
	"os"
	"slices"
	"strings"
)

// module starts the import path of every package of this program.
const module = "soletrial/"

// mapFile is where the map of packages stands.
const mapFile = "scripts/rules/packages.txt"

// entry is what the map says of one package.
type entry struct {
	path    string // without the module
	does    string
	traits  []string
	imports []string
}

func (e entry) has(trait string) bool { return slices.Contains(e.traits, trait) }

// The traits of a package.
const (
	pure      = "pure"
	exact     = "exact"
	explorer  = "explorer"
	converter = "converter"
)

// readMap reads the map of packages; its first lines say what it looks like.
func readMap() ([]entry, error) {
	text, err := os.ReadFile(mapFile)
	if err != nil {
		return nil, err
	}
	var entries []entry
	for i, line := range strings.Split(string(text), "\n") {
		wrong := func(what string) error { return fmt.Errorf("%s:%d: %s: %q", mapFile, i+1, what, line) }
		inner, indented := strings.CutPrefix(line, "\t")
		switch {
		case line == "" || strings.HasPrefix(line, "#"):
		case !indented: // a new entry
			e, ok := parseEntry(line)
			if !ok || slices.ContainsFunc(entries, func(other entry) bool { return other.path == e.path }) {
				return nil, wrong("not a new PATH: TRAITS")
			}
			entries = append(entries, e)
		case len(entries) == 0:
			return nil, wrong("belongs to no package")
		default: // more about the last entry
			e := &entries[len(entries)-1]
			if list, ok := strings.CutPrefix(inner, "imports "); ok {
				e.imports = append(e.imports, strings.Fields(list)...)
			} else if e.does == "" {
				e.does = inner
			} else {
				return nil, wrong("a second line of what it does")
			}
		}
	}
	return entries, nil
}

// parseEntry reads the first line of an entry.
func parseEntry(line string) (entry, bool) {
	path, list, found := strings.Cut(line, ":")
	e := entry{path: path}
	for trait := range strings.SplitSeq(list, ",") {
		trait = strings.TrimSpace(trait)
		if trait == "" && list == "" {
			continue
		}
		if !slices.Contains([]string{pure, exact, explorer, converter}, trait) {
			return e, false
		}
		e.traits = append(e.traits, trait)
	}
	return e, found && path != ""
}

// withTrait lists the packages of the map that have a trait.
func withTrait(entries []entry, trait string) (paths []string) {
	for _, e := range entries {
		if e.has(trait) {
			paths = append(paths, e.path)
		}
	}
	return paths
}
