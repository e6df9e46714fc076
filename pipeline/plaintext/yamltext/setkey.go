package yamltext

import (
	"bytes"

	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/token"
)

// SetKey returns src with the lines of one top-level key replaced by block, or
// with block appended where the key is not there. block is the key with its
// value, such as "recordings:\n  - file: a.csv\n". Every other byte stays, the
// comments too: blank lines and comments between the key and the next one belong
// to the next one, a comment on the key's own lines goes with it. Line ends are
// written as src has them. src is expected to be a mapping that [Read] accepts.
func SetKey(src []byte, key string, block []byte) []byte {
	lines := bytes.SplitAfter(src, []byte{'\n'})
	if last := len(lines) - 1; len(lines[last]) == 0 {
		lines = lines[:last]
	}
	from, to := keyLines(src, key, lines)
	out := bytes.Join(lines[:from], nil)
	if len(out) > 0 && out[len(out)-1] != '\n' {
		out = append(out, newline(src)...)
	}
	out = append(out, withLineEnds(block, newline(src))...)
	return append(out, bytes.Join(lines[to:], nil)...)
}

// keyLines returns the lines from..to that hold the key and its value, or an
// empty stretch at the end.
func keyLines(src []byte, key string, lines [][]byte) (from, to int) {
	from, to = len(lines), len(lines)
	for _, t := range lexer.Tokenize(string(src)) {
		top := t.Position.Column == 1 && t.Next != nil && t.Next.Type == token.MappingValueType &&
			t.Next.Position.Line == t.Position.Line
		switch {
		case !top:
		case from < len(lines):
			return from, withoutTail(lines, from, t.Position.Line-1)
		case t.Value == key:
			from = t.Position.Line - 1
		}
	}
	return from, withoutTail(lines, from, to)
}

// withoutTail gives the blank lines and the unindented comments at the end of
// lines from..to back to what follows.
func withoutTail(lines [][]byte, from, to int) int {
	for to > from+1 && (len(bytes.TrimSpace(lines[to-1])) == 0 || lines[to-1][0] == '#') {
		to--
	}
	return to
}

func newline(src []byte) []byte {
	if bytes.Contains(src, []byte("\r\n")) {
		return []byte("\r\n")
	}
	return []byte{'\n'}
}

func withLineEnds(block, end []byte) []byte {
	block = bytes.TrimSuffix(bytes.ReplaceAll(block, []byte("\r\n"), []byte{'\n'}), []byte{'\n'})
	return append(bytes.ReplaceAll(block, []byte{'\n'}, end), end...)
}
