package main

import (
	"os"
	"path/filepath"
	"strings"
	"time"
)

// mendPages rewrites the manual pages in a folder where the library's are not what man(7)
// asks for.
func mendPages(folder string, date time.Time) error {
	pages, err := filepath.Glob(filepath.Join(folder, "*.1"))
	if err != nil {
		return err
	}
	for _, path := range pages {
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		if err := os.WriteFile(path, []byte(mended(string(text), date)), 0o644); err != nil {
			return err
		}
	}
	return nil
}

// mended is a manual page with its date as man(7) reads one, year-month-day, and with every
// option as a tagged paragraph: the library starts its description with a tab, which has
// no meaning in text that is filled.
func mended(page string, date time.Time) string {
	page = strings.Replace(page, `"`+date.Format("Jan 2006")+`"`, `"`+date.Format(time.DateOnly)+`"`, 1)
	var lines []string
	for line := range strings.Lines(page) {
		described, isDescription := strings.CutPrefix(line, "\t")
		if last := len(lines) - 1; isDescription && last > 0 {
			option := lines[last]
			if lines[last-1] == ".PP\n" {
				lines = lines[:last-1]
			} else {
				lines = lines[:last]
			}
			lines = append(lines, ".TP\n", option)
		}
		lines = append(lines, described)
	}
	return strings.Join(lines, "")
}
