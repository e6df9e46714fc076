package units

import "strconv"

// Count writes a number with its noun, "1 block" or "2 blocks", for nouns whose
// plural takes an s. See [Plural] for the others.
func Count(n int, noun string) string { return Plural(n, noun, noun+"s") }

// Plural writes a number with the first word where it is 1, else with the second:
// "1 table is", "2 tables are".
func Plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}
