package plaintext

import "bytes"

// What git writes around two versions of the same lines that it cannot merge (git-merge(1),
// "How conflicts are presented").
const (
	conflictStart = "<<<<<<< "
	conflictEnd   = ">>>>>>> "
)

// reportConflicts reports every place where git left two versions for a person to choose
// from, and whether there is one. What else would be wrong with such a text is noise.
func reportConflicts(file string, text []byte, r *report) bool {
	found := false
	for from := 0; from >= 0 && from < len(text); {
		start, end := nextLine(text, from, conflictStart), nextLine(text, from, conflictEnd)
		at := start
		if start < 0 || end >= 0 && end < start {
			at = end // whose start somebody removed
		}
		if at < 0 {
			break
		}
		r.at(file, bytes.Count(text[:at], []byte{'\n'})+1, 1, "keep the lines that are right, and remove those that "+
			"begin with <<<<<<<, ======= and >>>>>>>", "git left a merge conflict here")
		if found = true; end < 0 {
			break
		}
		from = end + len(conflictEnd)
	}
	return found
}

// nextLine returns where the next line begins, at from or after, that begins with mark;
// -1 where none does.
func nextLine(text []byte, from int, mark string) int {
	for from <= len(text) {
		at := bytes.Index(text[from:], []byte(mark))
		if at < 0 {
			return -1
		}
		if at += from; at == 0 || text[at-1] == '\n' {
			return at
		}
		from = at + 1
	}
	return -1
}
