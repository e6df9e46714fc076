package trial

import "fmt"

// Position is a place in the text of a dataset. Line and Column count from 1;
// 0 means that the problem concerns the whole file (or the whole line).
type Position struct {
	File         string // slash-separated, relative to the dataset
	Line, Column int
}

// String gives file:line:column, leaving out what is not known.
func (p Position) String() string {
	switch {
	case p.Line == 0:
		return p.File
	case p.Column == 0:
		return fmt.Sprintf("%s:%d", p.File, p.Line)
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

// Problem is something in the text of a dataset that keeps it from being read.
type Problem struct {
	At      Position
	Message string // what is wrong, quoting what stands there
	Hint    string // what to do about it; may be empty
}

func (p Problem) Error() string {
	if p.Hint == "" {
		return fmt.Sprintf("%s: %s", p.At, p.Message)
	}
	return fmt.Sprintf("%s: %s (%s)", p.At, p.Message, p.Hint)
}
