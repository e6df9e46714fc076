package english

import (
	"strconv"
	"strings"
)

// Suggest returns `did you mean "x"?` for the name [nearest] to the given one, or ""
// when none is near.
func Suggest(given string, names []string) string {
	nearest := nearest(given, names)
	if nearest == "" {
		return ""
	}
	return "did you mean " + strconv.Quote(nearest) + "?"
}

// nearest returns the name nearest to the given one, whatever its capitals, or "" when
// none is near: a third of the letters may differ, in a short name one, in a name of
// one or two letters none. A name that lacks only its unit, such as "power" for
// "power_w", is near too.
func nearest(given string, names []string) string {
	given = strings.ToLower(given)
	nearest, least := "", 1+allowedEdits(len(given))
	for _, name := range names {
		if d := editDistance(given, strings.ToLower(name)); d < least {
			nearest, least = name, d
		}
	}
	for _, name := range names {
		if nearest == "" && given != "" && strings.HasPrefix(name, given+"_") {
			nearest = name
		}
	}
	return nearest
}

func allowedEdits(length int) int {
	if length < 3 {
		return 0
	}
	return max(1, length/3)
}

// maxCompared bounds the work on a text that is nothing like a name.
const maxCompared = 64

// editDistance is the least number of letters to insert, delete, replace or swap
// with their neighbour that turns a into b (the optimal string alignment distance).
func editDistance(a, b string) int {
	if len(a) > maxCompared || len(b) > maxCompared {
		return maxCompared
	}
	// The rows of the table of distances for a[:i-2], a[:i-1] and a[:i].
	beforePrevious, previous, current := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range previous {
		previous[j] = j
	}
	for i := 1; i <= len(a); i++ {
		current[0] = i
		for j := 1; j <= len(b); j++ {
			replaced := previous[j-1]
			if a[i-1] != b[j-1] {
				replaced++
			}
			current[j] = min(previous[j]+1, current[j-1]+1, replaced)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				current[j] = min(current[j], beforePrevious[j-2]+1)
			}
		}
		beforePrevious, previous, current = previous, current, beforePrevious
	}
	return previous[len(b)]
}
