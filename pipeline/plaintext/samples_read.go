package plaintext

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// ReadSamples reads one recording: a header that names elapsed_s and at least
// one channel, in any order, then one sample on each line. file is used for
// positions only. The samples are nil when there are problems.
//
// It is a single pass over the bytes that fills one column for each heading and
// allocates nothing for a row. Cells are plain decimals or blank; quotes are
// refused, since no recording needs them. Time that goes back is not a problem
// of reading; the quality rules see to it.
func ReadSamples(src []byte, file string) (*trial.Samples, []trial.Problem) {
	var r report
	samples := readSamples(src, file, false, &r)
	if problems := r.sorted(); len(problems) > 0 {
		return nil, problems
	}
	return samples, nil
}

// readSamples is [ReadSamples] with the choice of leniency; what it returns is
// sound only when nothing was reported.
func readSamples(text []byte, file string, lenient bool, r *report) *trial.Samples {
	before := len(r.problems)
	src, ok := newSource(file, text, lenient, r)
	if !ok {
		return nil
	}
	s := scanner{source: src, report: r, line: 2}
	samples := &trial.Samples{}
	if !s.header(samples) {
		return nil
	}
	for s.offset < len(s.text) {
		s.row()
		s.line++
	}
	for j, column := range s.columns {
		*s.targets[j] = column[:s.filled]
	}
	if s.filled == 0 && len(r.problems) == before {
		r.file(file, "import it again, or remove it from the list of recordings", "the recording has no samples")
	}
	return samples
}

// scanner goes through the text of a recording once.
type scanner struct {
	source
	report  *report
	offset  int // of the next byte
	line    int // of the next byte, from 1
	filled  int // samples so far
	elapsed int // which column is the time
	names   []string
	targets []*[]float64
	columns [][]float64
}

// header reads the first line and makes room for the columns it names.
func (s *scanner) header(samples *trial.Samples) bool {
	first, _, _ := bytes.Cut(s.text, []byte{'\n'})
	s.offset = min(len(first)+1, len(s.text))
	room := bytes.Count(s.text[s.offset:], []byte{'\n'}) + 1
	if !s.isTableLine(1, first, s.report) || !s.within(room, maxSamples, s.report) {
		return false
	}
	// The headings must be known, and one of them a channel.
	headings := s.cells(1, bytes.TrimSuffix(first, []byte{'\r'}))
	before := len(s.report.problems)
	s.report.checkHeader(headings, recordingColumns)
	if len(s.report.problems) > before {
		return false
	}
	if len(headings) < 2 {
		s.report.at(s.file, 1, 0, "add a column such as power_w", "the recording has no channel")
		return false
	}
	// Where each column goes.
	for j, heading := range headings {
		if heading.text == trial.ElapsedColumn {
			s.elapsed = j
		}
		s.names = append(s.names, heading.text)
		s.targets = append(s.targets, target(samples, heading.text))
		s.columns = append(s.columns, make([]float64, room))
	}
	return true
}

// recordingColumns are the columns of a recording in canonical order.
var recordingColumns = func() []column {
	list := []column{{name: trial.ElapsedColumn, required: true}}
	for c := range trial.ChannelCount {
		list = append(list, column{name: c.Info().Column})
	}
	return list
}()

// target is the column of the samples that a heading names.
func target(samples *trial.Samples, heading string) *[]float64 {
	if channel, ok := trial.ChannelNamed(heading); ok {
		return &samples.Values[channel]
	}
	return &samples.Elapsed
}

// row reads one line on the plain path, where every cell is a decimal or blank
// and the time is given; anything else is left to [scanner.readCells].
func (s *scanner) row() {
	offset, last := s.offset, len(s.columns)-1
	for j, column := range s.columns {
		x, n := units.ScanDecimal(s.text[offset:])
		if n == 0 {
			x = units.Missing
		}
		column[s.filled] = x
		offset += n
		switch {
		case n == 0 && j == s.elapsed:
			s.readCells()
			return
		case j < last && offset < len(s.text) && s.text[offset] == ',':
			offset++
		case j == last && lineEnd(s.text[offset:]) >= 0:
			s.offset = offset + lineEnd(s.text[offset:])
			s.filled++
			return
		default:
			s.readCells()
			return
		}
	}
}

// lineEnd returns the length of the line end that text starts with, 0 at the
// end of the file, and -1 where there is none.
func lineEnd(text []byte) int {
	switch {
	case len(text) == 0:
		return 0
	case text[0] == '\n':
		return 1
	case text[0] == '\r' && len(text) > 1 && text[1] == '\n':
		return 2
	}
	return -1
}

// readCells reads the line again, cell by cell, and says what is wrong with it.
func (s *scanner) readCells() {
	line, _, _ := bytes.Cut(s.text[s.offset:], []byte{'\n'})
	s.offset = min(s.offset+len(line)+1, len(s.text))
	if !s.isTableLine(s.line, line, s.report) {
		return
	}
	cells := s.cells(s.line, bytes.TrimSuffix(line, []byte{'\r'}))
	switch {
	case empty(cells) && s.lenient:
		return
	case empty(cells):
		s.report.at(s.file, s.line, 1, "remove it; tidy does", "the line is empty")
		return
	case len(cells) != len(s.columns):
		s.report.at(s.file, s.line, 1, "add or remove commas", "the row has %d cells, the header has %d", len(cells),
			len(s.columns))
		return
	}
	for j, c := range cells {
		c.column = s.names[j]
		s.columns[j][s.filled] = s.value(c, j)
	}
	s.filled++
}

// value reads one cell that is not on the plain path, or is beside one.
func (s *scanner) value(c cell, j int) float64 {
	if strings.Contains(c.text, `"`) {
		s.report.complain(c, "write the number without quotes", "%s is quoted", c.text)
		return units.Missing
	}
	if c.blank() && j == s.elapsed {
		s.report.complain(c, "every sample needs its time", "is blank")
	}
	return s.report.decimal(c, false)
}

// cells splits a line at its commas.
func (s *scanner) cells(number int, line []byte) []cell {
	var list []cell
	column := 1
	for part := range strings.SplitSeq(string(line), ",") {
		c := cell{text: part, at: trial.Position{File: s.file, Line: number, Column: column}}
		column += utf8.RuneCountInString(part) + 1
		if s.lenient {
			c.text = strings.Trim(part, blanks)
		}
		list = append(list, c)
	}
	return list
}
