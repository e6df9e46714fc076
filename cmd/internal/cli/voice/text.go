package voice

import (
	"strings"

	"soletrial/pipeline/units"
)

// LineWidth is how many letters a line of text for people may have.
const LineWidth = 80

// Wrap breaks text between words into lines of at most width letters; a longer
// word stands alone.
func Wrap(text string, width int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		if line != "" && len([]rune(line))+1+len([]rune(word)) > width {
			lines = append(lines, line)
			line = ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(lines, line)
}

// Shorten cuts text to a width in letters, and marks the cut.
func Shorten(text string, width int) string {
	letters := []rune(text)
	if len(letters) <= width {
		return text
	}
	return string(letters[:width-1]) + "…"
}

// JSONNumber is a number for JSON, nil where it is missing.
func JSONNumber(x float64) *float64 {
	if !units.Known(x) {
		return nil
	}
	return &x
}
