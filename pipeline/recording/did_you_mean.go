package recording

import (
	"fmt"
	"strings"
)

// didYouMean returns ", did you mean "x"?" for the nearest of the known words, or
// nothing when none is near.
func didYouMean(word string, known []string) string {
	best, least := "", len(word)/3+2
	for _, k := range known {
		if d := editDistance(strings.ToLower(word), strings.ToLower(k)); d < least {
			best, least = k, d
		}
	}
	if best == "" {
		return ""
	}
	return fmt.Sprintf(", did you mean %q?", best)
}

// editDistance is the number of insertions, deletions and replacements of a byte
// that turn a into b (Levenshtein 1966). Long words are not compared.
func editDistance(a, b string) int {
	if len(a) > 100 || len(b) > 100 {
		return len(a) + len(b)
	}
	above := make([]int, len(b)+1)
	for j := range above {
		above[j] = j
	}
	for i := range len(a) {
		diagonal := above[0]
		above[0] = i + 1
		for j := range len(b) {
			replaced := diagonal
			if a[i] != b[j] {
				replaced++
			}
			diagonal = above[j+1]
			above[j+1] = min(replaced, above[j]+1, above[j+1]+1)
		}
	}
	return above[len(b)]
}

// quoted lists headings for a message, no more than 40 of them.
func quoted(names []string) string {
	const most = 40
	text := make([]string, 0, len(names))
	for _, name := range names[:min(len(names), most)] {
		text = append(text, fmt.Sprintf("%q", name))
	}
	if len(names) > most {
		text = append(text, fmt.Sprintf("and %d more", len(names)-most))
	}
	return strings.Join(text, ", ")
}

// quoteArgument writes a heading as an argument of a shell.
func quoteArgument(text string) string {
	if strings.ContainsAny(text, " \t'\"()[]$&;|<>*?#\\") || text == "" {
		return "'" + strings.ReplaceAll(text, "'", `'\''`) + "'"
	}
	return text
}
