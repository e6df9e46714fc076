// Package english writes the small pieces of English that messages and pages are
// made of: a list of names, a capital letter, and the name that somebody probably
// meant. A number with its noun is in package units.
package english

import (
	"slices"
	"strings"
)

// List joins words as "a, b and c", with the given word before the last: "and" or
// "or". No words give "".
func List(words []string, conjunction string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " " + conjunction + " " + words[last]
}

// Sentences puts those that are not blank in one line.
func Sentences(all ...string) string {
	return strings.Join(slices.DeleteFunc(all, func(s string) bool { return s == "" }), " ")
}

// YesNo is "yes" or "no".
func YesNo(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}

// Capitalise raises the first letter of a phrase, which is of plain ASCII.
func Capitalise(phrase string) string {
	if phrase == "" {
		return ""
	}
	return strings.ToUpper(phrase[:1]) + phrase[1:]
}
