package main

import (
	"cmp"
	"fmt"
	"os"
	"slices"
	"strings"
)

// guide is the file that shows the map to people, between two markers. It has to be
// read by whoever starts here, so it may have longestGuide lines.
const (
	longestGuide = 200

	guide    = "DEVELOPERS.md"
	mapStart = "<!-- map: go run ./scripts/rules -write -->\n"
	mapEnd   = "<!-- end of map -->\n"
)

// shownMap reports whether the table in the guide is that of the map, and whether
// the guide has stayed short.
func shownMap() ([]string, error) {
	text, wanted, err := guideWithMap()
	if err != nil {
		return nil, err
	}
	var broken []string
	if text != wanted {
		broken = append(broken, guide+": the table of packages is not that of "+mapFile+
			": go run ./scripts/rules -write")
	}
	if lines := strings.Count(wanted, "\n"); lines > longestGuide {
		broken = append(broken, fmt.Sprintf("%s: %d lines, at most %d; measurements belong beside what they measure",
			guide, lines, longestGuide))
	}
	return broken, nil
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

// grouped are the folders of which all packages share a row of the table.
var grouped = []string{"viewer", "scripts"}

// table writes the map as a table for people.
func table(entries []entry) string {
	var b strings.Builder
	b.WriteString("| package | does | |\n|---|---|---|\n")
	inGroup := map[string][]string{}
	for _, e := range entries {
		if folder, name, _ := strings.Cut(e.path, "/"); slices.Contains(grouped, folder) {
			inGroup[folder] = append(inGroup[folder], strings.TrimSpace("`"+cmp.Or(name, folder)+"` "+e.does))
			continue
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s |\n", e.path, e.does, strings.Join(e.traits, ", "))
	}
	for _, folder := range grouped {
		if parts := inGroup[folder]; len(parts) > 0 {
			fmt.Fprintf(&b, "| `%s` | %s | |\n", folder, strings.Join(parts, "; "))
		}
	}
	return b.String()
}
