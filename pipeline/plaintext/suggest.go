package plaintext

import (
	"cmp"
	"fmt"
	"strings"
)

// maxSuggestLength bounds the work on a name that is nothing like a name.
const maxSuggestLength = 64

// Suggest returns `did you mean "x"?` for the name nearest to the given one, or
// "" when none is near: a third of the letters may differ, in a short name one,
// in a name of one or two letters none. A name that lacks only its unit, such as
// "power" for "power_w", is near too.
func Suggest(given string, names []string) string {
	best, distance := "", 1+allowedEdits(len(given))
	for _, name := range names {
		if d := edits(given, name); d < distance {
			best, distance = name, d
		}
	}
	for _, name := range names {
		if best == "" && given != "" && strings.HasPrefix(name, strings.ToLower(given)+"_") {
			best = name
		}
	}
	if best == "" {
		return ""
	}
	return fmt.Sprintf("did you mean %q?", best)
}

// nearOr returns the suggestion for a name, or another hint where none is near.
func nearOr(given string, names []string, otherwise string) string {
	return cmp.Or(Suggest(given, names), otherwise)
}

func allowedEdits(length int) int {
	if length < 3 {
		return 0
	}
	return max(1, length/3)
}

// edits is the least number of letters to insert, delete, replace or swap with
// their neighbour that turns a into b (the optimal string alignment distance).
func edits(a, b string) int {
	if len(a) > maxSuggestLength || len(b) > maxSuggestLength {
		return maxSuggestLength
	}
	before, above, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range above {
		above[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			replaced := above[j-1]
			if a[i-1] != b[j-1] {
				replaced++
			}
			row[j] = min(above[j]+1, row[j-1]+1, replaced)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, above, row = above, row, before
	}
	return above[len(b)]
}
