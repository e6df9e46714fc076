package main

import (
	"fmt"
	"os"
	"strings"
)

// guide is the file that shows the map to people, between two markers.
const (
	guide    = "DEVELOPERS.md"
	mapStart = "<!-- map: go run ./scripts/rules -write -->\n"
	mapEnd   = "<!-- end of map -->\n"
)

// shownMap reports whether the table in the guide is that of the map.
func shownMap() ([]string, error) {
	text, wanted, err := guideWithMap()
	if err != nil {
		return nil, err
	}
	if text != wanted {
		return []string{guide + ": the table of packages is not that of " + mapFile +
			": go run ./scripts/rules -write"}, nil
	}
	return nil, nil
}

// writeMap puts the table of the map into the guide.
func writeMap() error {
	_, wanted, err := guideWithMap()
	if err != nil {
		return err
	}
	return os.WriteFile(guide, []byte(wanted), 0o644)
}

// guideWithMap returns the guide as it is and as it would be with a fresh table.
func guideWithMap() (text, wanted string, err error) {
	entries, err := readMap()
	if err != nil {
		return "", "", err
	}
	bytes, err := os.ReadFile(guide)
	if err != nil {
		return "", "", err
	}
	before, rest, foundStart := strings.Cut(string(bytes), mapStart)
	_, after, foundEnd := strings.Cut(rest, mapEnd)
	if !foundStart || !foundEnd {
		return "", "", fmt.Errorf("%s: no table between %q and %q", guide, mapStart, mapEnd)
	}
	return string(bytes), before + mapStart + table(entries) + mapEnd + after, nil
}

// table writes the map as a table for people, the scripts in one row.
func table(entries []entry) string {
	var b strings.Builder
	b.WriteString("| package | does | |\n|---|---|---|\n")
	var scripts []string
	for _, e := range entries {
		if name, isScript := strings.CutPrefix(e.path, "scripts/"); isScript {
			scripts = append(scripts, "`"+name+"` "+e.does)
			continue
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s |\n", e.path, e.does, strings.Join(e.traits, ", "))
	}
	if len(scripts) > 0 {
		fmt.Fprintf(&b, "| `scripts` | %s | |\n", strings.Join(scripts, "; "))
	}
	return b.String()
}
