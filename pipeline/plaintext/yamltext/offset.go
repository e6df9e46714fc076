package yamltext

import (
	"bytes"
	"regexp"
	"slices"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/units"
)

// fileLine is the line of a recording in the list, up to its indent.
var fileLine = regexp.MustCompile(`^( *(?:- +)?)file:`)

// SetOffset returns a session.yaml with the offset of one recording changed in
// place, or added below its file, so that every comment stays. It is not ok where
// that does not give a text that says just so.
func SetOffset(text []byte, file string, offset float64) (changed []byte, ok bool) {
	item := listed(text, file)
	if item == nil {
		return nil, false
	}
	lines := bytes.SplitAfter(text, []byte{'\n'})
	// In the place of the old offset, or in a line of its own below the file, indented as that.
	if old := item.Get("offset_s"); old != nil && old.Kind == plaintext.Scalar && old.Text != "" {
		line, column := lines[old.At.Line-1], old.At.Column-1
		if column > len(line) || !bytes.HasPrefix(line[column:], []byte(old.Text)) {
			return nil, false
		}
		rest := line[column+len(old.Text):]
		lines[old.At.Line-1] = slices.Concat(line[:column], []byte(units.FormatExact(offset)), rest)
	} else {
		at := item.Get("file").At.Line - 1
		start := fileLine.FindSubmatch(lines[at])
		if old != nil || start == nil {
			return nil, false
		}
		end := []byte("\n")
		if bytes.HasSuffix(lines[at], []byte("\r\n")) {
			end = []byte("\r\n")
		}
		added := append(bytes.Repeat([]byte{' '}, len(start[1])), "offset_s: "+units.FormatExact(offset)...)
		lines[at] = append(append(bytes.TrimRight(append([]byte(nil), lines[at]...), "\r\n"), end...),
			append(added, end...)...)
	}
	// Read back: YAML has more ways to write a list than are known here.
	changed = bytes.Join(lines, nil)
	after := listed(changed, file)
	return changed, after != nil && after.Get("offset_s") != nil &&
		after.Get("offset_s").Text == units.FormatExact(offset)
}

// listed returns the item of a recording in the list of a session.yaml, or nil.
func listed(text []byte, file string) *plaintext.Node {
	root, problems := Parse(text, "session.yaml")
	if len(problems) > 0 || root.Get("recordings") == nil {
		return nil
	}
	for _, item := range root.Get("recordings").Items {
		if f := item.Get("file"); f != nil && f.Text == file {
			return item
		}
	}
	return nil
}
