package plaintext

import (
	"bytes"
	"errors"
	"io/fs"
	"slices"
	"unicode/utf8"

	"soletrial/pipeline/trial"
)

// Limits on the size of a file, far above what people and devices write. They
// keep a mistake (an archive, a video) from filling the memory.
const (
	maxDocumentBytes  = 256 << 10
	maxJSONBytes      = 4 * maxDocumentBytes
	maxTableBytes     = 4 << 20
	maxRecordingBytes = 64 << 20
)

// Limits on the shape of a table, as far above what people write. Some of what is
// looked up in a table takes time that grows with the square of its rows.
const (
	maxRows    = 10_000
	maxSamples = trial.MaxSamples
	maxCommas  = 1000 // on one line
)

const byteOrderMark = "\uFEFF"

// source is the text of one file on its way into values. A lenient source is
// being tidied: what tidy mends is not a problem there.
type source struct {
	file    string
	text    []byte
	lenient bool
	mend    func(text []byte) []byte // brings a table into shape before it is read; nil leaves it as it is
	starts  []int                    // where each line starts, once indexed
}

// readSource loads a file of at most limit bytes of UTF-8. ok is false when
// there is nothing to go on with; the report then says why.
func readSource(fsys fs.FS, file string, limit int64, lenient bool, r *report) (src source, ok bool) {
	text, ok := readBytes(fsys, file, limit, r)
	if !ok {
		return source{}, false
	}
	return newSource(file, text, lenient, r)
}

// readBytes loads a file of at most limit bytes. A pipe, whose end may never come,
// and other devices are not read.
func readBytes(fsys fs.FS, file string, limit int64, r *report) (text []byte, ok bool) {
	info, err := fs.Stat(fsys, file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		r.file(file, "create the file, or start a dataset with init", "is missing")
		return nil, false
	case err == nil && info.IsDir():
		r.file(file, "move the folder away and put the file there", "is a folder, not a file")
		return nil, false
	case err == nil && !info.Mode().IsRegular():
		r.notRegular(file)
		return nil, false
	case err == nil && info.Size() > limit:
		r.file(file, "is it the right file?", "has %d bytes, more than the limit of %d", info.Size(), limit)
		return nil, false
	case err == nil:
		text, err = fs.ReadFile(fsys, file)
	}
	if err != nil {
		r.file(file, "", "cannot be read: %v", err)
		return nil, false
	}
	return text, true
}

// newSource checks the encoding of text that is already in memory.
func newSource(file string, text []byte, lenient bool, r *report) (source, bool) {
	if unquoted, marked := bytes.CutPrefix(text, []byte(byteOrderMark)); marked {
		if !lenient {
			r.at(file, 1, 1, "remove it; tidy does", "starts with a byte order mark")
		}
		text = unquoted
	}
	src := source{file: file, text: text, lenient: lenient}
	if reportConflicts(file, text, r) {
		return src, false
	}
	if utf8.Valid(text) {
		return src, true
	}
	offset := firstInvalid(text)
	line := bytes.Count(text[:offset], []byte{'\n'}) + 1
	column := utf8.RuneCount(text[bytes.LastIndexByte(text[:offset], '\n')+1:offset]) + 1
	r.at(file, line, column, "save the file as UTF-8", "byte %#02x is not UTF-8 text", text[offset])
	return src, false
}

func firstInvalid(text []byte) int {
	offset := 0
	for offset < len(text) {
		c, size := utf8.DecodeRune(text[offset:])
		if c == utf8.RuneError && size == 1 {
			break
		}
		offset += size
	}
	return offset
}

// lineStarts returns the offset at which each line starts.
func lineStarts(text []byte) []int {
	starts := make([]int, 1, bytes.Count(text, []byte{'\n'})+1)
	for i, c := range text {
		if c == '\n' {
			starts = append(starts, i+1)
		}
	}
	return starts
}

// isTableLine reports whether a line can be one of a table; it is cut into cells only
// then.
func (s source) isTableLine(number int, line []byte, r *report) bool {
	commas := bytes.Count(line, []byte{','})
	if commas > maxCommas {
		r.at(s.file, number, 1, "is it the right file?", "the line has %d commas, more than the limit of %d", commas,
			maxCommas)
	}
	return commas <= maxCommas
}

// within reports whether a table has no more lines than a table may have.
func (s source) within(lines, limit int, r *report) bool {
	if lines > limit {
		r.file(s.file, "is it the right file?", "has %d lines, more than the limit of %d", lines, limit)
	}
	return lines <= limit
}

// line returns the text of the given line, counted from 1, without its end.
func (s source) line(number int) []byte {
	if number > len(s.starts) {
		return nil
	}
	line, _, _ := bytes.Cut(s.text[s.starts[number-1]:], []byte{'\n'})
	return bytes.TrimSuffix(line, []byte{'\r'})
}

// column turns a column counted in bytes into one counted in characters, as
// editors show it.
func (s source) column(line, byteColumn int) int {
	text := s.line(line)
	return utf8.RuneCount(text[:min(max(byteColumn-1, 0), len(text))]) + 1
}

// place returns the line and column of an offset.
func (s source) place(offset int) trial.Position {
	line, found := slices.BinarySearch(s.starts, offset)
	if found {
		line++
	}
	return trial.Position{File: s.file, Line: line, Column: s.column(line, offset-s.starts[line-1]+1)}
}
