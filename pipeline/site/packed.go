package site

import (
	"bytes"
	"regexp"
)

var (
	// longComment is a comment of the style sheet, lineComment a line of the script that is one.
	longComment = regexp.MustCompile(`(?s)/\*.*?\*/`)
	lineComment = regexp.MustCompile(`(?m)^\s*//.*$`)
)

// packed takes comments and indentation out of a style sheet or a script, which readers load
// with every page. What stands in a line stays as it is.
func packed(text []byte) []byte {
	text = lineComment.ReplaceAll(longComment.ReplaceAll(text, nil), nil)
	var lines [][]byte
	for line := range bytes.Lines(text) {
		if line = bytes.TrimSpace(line); len(line) > 0 {
			lines = append(lines, line)
		}
	}
	return append(bytes.Join(lines, []byte("\n")), '\n')
}
