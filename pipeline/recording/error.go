package recording

import "fmt"

// Error says why a file could not be read, where, and what to do. Line and
// Column count from 1 and are 0 where the format has no lines.
type Error struct {
	File         string
	Line, Column int
	Message      string
	Hint         string
	Columns      *Columns // where it is not known which column holds what; else nil
}

// Error gives file:line:column: message (hint), leaving out what is not known.
func (e *Error) Error() string {
	at := e.File
	if e.Line > 0 {
		at = fmt.Sprintf("%s:%d", at, e.Line)
		if e.Column > 0 {
			at = fmt.Sprintf("%s:%d", at, e.Column)
		}
	}
	if e.Hint == "" {
		return fmt.Sprintf("%s: %s", at, e.Message)
	}
	return fmt.Sprintf("%s: %s (%s)", at, e.Message, e.Hint)
}
