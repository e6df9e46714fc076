package recording

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"

	"soletrial/pipeline/trial"
)

// table is a foreign CSV file that shows gocsv only the chosen columns, under
// the names that [row] has. Comments, the lines above the headings and a row of
// units are behind it when it is opened.
type table struct {
	name      string
	reader    *csv.Reader
	separator rune
	headings  []string
	unitRow   []string // nil when there is none
	headLine  int
	pending   []record // read while looking for the headings
	text      []byte
	laps      bool // each row is a lap
	form      bool // see [Options.Form]

	channels map[trial.Channel]heading
	elapsed  *heading
	clock    *heading
}

// record is one record of the file and the line that it starts on.
type record struct {
	cells []string
	line  int
}

// searchedRecords is how many records may stand above the headings.
const searchedRecords = 30

// maxColumns is how many cells a line may have; exports with every field a device
// knows have about a hundred.
const maxColumns = 2000

// openTable finds the separator, the headings and the row of units.
func openTable(name string, text []byte, o Options) (*table, error) {
	t := &table{name: name, separator: findSeparator(text), text: text, form: o.Form}
	if err := t.narrow(); err != nil {
		return nil, err
	}
	t.reader = t.newReader()
	// Look ahead: the headings need not be the first row.
	for len(t.pending) < searchedRecords {
		r, err := t.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		t.pending = append(t.pending, r)
	}
	if len(t.pending) == 0 {
		return nil, &Error{File: name, Message: "the file has no rows", Hint: "export it again"}
	}
	// The headings, and a row of units above or below them.
	head := findHeadings(t.pending, o)
	t.headings, t.headLine = t.pending[head].cells, t.pending[head].line
	for i := range t.headings {
		t.headings[i] = strings.TrimSpace(t.headings[i])
	}
	var above []string
	if head > 0 && isUnitRow(t.pending[head-1].cells) {
		above = t.pending[head-1].cells
	}
	t.pending = t.pending[head+1:]
	if len(t.pending) > 0 && isUnitRow(t.pending[0].cells) {
		t.unitRow, t.pending = t.pending[0].cells, t.pending[1:]
	}
	t.combineHeadings(above, o)
	t.laps = t.isLapTable(o)
	return t, nil
}

// narrow refuses a file with a line of too many cells, before any is cut.
func (t *table) narrow() error {
	number := 0
	for line := range bytes.Lines(t.text) {
		number++
		if n := bytes.Count(line, []byte{byte(t.separator)}) + 1; n > maxColumns {
			return t.fail(
				number, -1, fmt.Sprintf("this line has %d cells, more than the %d that are read", n, maxColumns),
				"is it the right file?")
		}
	}
	return nil
}

func (t *table) newReader() *csv.Reader {
	r := csv.NewReader(bytes.NewReader(t.text))
	r.Comma, r.Comment, r.FieldsPerRecord = t.separator, '#', -1
	return r
}

// next reads one record from the file.
func (t *table) next() (record, error) {
	cells, err := t.reader.Read()
	if errors.Is(err, io.EOF) {
		return record{}, err
	}
	if err != nil {
		return record{}, t.asError(err)
	}
	line, _ := t.reader.FieldPos(0)
	return record{cells, line}, nil
}

// nextRow returns the next row that is not blank, once its length is sound.
func (t *table) nextRow() (r record, err error) {
	for {
		if len(t.pending) > 0 {
			r, t.pending = t.pending[0], t.pending[1:]
		} else if r, err = t.next(); err != nil {
			return record{}, err
		}
		switch {
		case blankFrom(r.cells, 0):
		case len(r.cells) < len(t.headings):
			return record{}, t.fail(r.line, -1, t.lengthText(r.cells), "is the file cut off here?")
		case !blankFrom(r.cells, len(t.headings)):
			return record{}, t.fail(r.line, len(t.headings), t.lengthText(r.cells), t.longHint(r.cells))
		default:
			return r, nil
		}
	}
}

// lengthText says that a row is too short or too long.
func (t *table) lengthText(cells []string) string {
	have := "1 cell"
	if len(cells) != 1 {
		have = fmt.Sprintf("%d cells", len(cells))
	}
	return fmt.Sprintf("this row has %s, the headings are %d", have, len(t.headings))
}

// longHint says what to do about a row that is too long: where commas separate
// the cells and all behind the first are numbers, decimal commas are likely.
func (t *table) longHint(cells []string) string {
	for _, text := range cells[1:] {
		if _, ok := foreignNumber(text, false); t.separator != ',' || !ok && !missingWord(text) {
			return "quote a cell that contains the separator"
		}
	}
	return "a decimal comma cuts a number in two where commas separate the cells: " +
		"write decimal points, or export with semicolons between the cells"
}

// blankFrom reports whether all cells from index from on are blank.
func blankFrom(record []string, from int) bool {
	for i := from; i < len(record); i++ {
		if strings.TrimSpace(record[i]) != "" {
			return false
		}
	}
	return true
}

// decimalComma reports whether a comma can be a decimal sign in this file.
func (t *table) decimalComma() bool { return t.separator != ',' }

// fail is an error about a cell; index -1 means the whole line.
func (t *table) fail(line, index int, message, hint string) *Error {
	return &Error{File: t.name, Line: line, Column: t.columnOf(line, index), Message: message, Hint: hint}
}

// columnOf returns the column in which a cell starts, by reading the file again:
// it is asked for at most once.
func (t *table) columnOf(line, index int) int {
	for r := t.newReader(); index >= 0; {
		cells, err := r.Read()
		if err != nil {
			return 0
		}
		if at, _ := r.FieldPos(0); at == line && index < len(cells) {
			_, column := r.FieldPos(index)
			return column
		}
	}
	return 0
}

// asError turns what the CSV library or this package reports into an *Error.
func (t *table) asError(err error) error {
	if ours, ok := errors.AsType[*Error](err); ok {
		return ours
	}
	if syntax, ok := errors.AsType[*csv.ParseError](err); ok {
		return &Error{
			File:    t.name,
			Line:    syntax.Line,
			Column:  syntax.Column,
			Message: syntax.Err.Error(),
			Hint:    "check the quotes in this row",
		}
	}
	return &Error{File: t.name, Message: err.Error()}
}

// findSeparator picks the separator that cuts the most of the first lines into
// the same number of cells; where two are equal the one with more cells wins.
func findSeparator(text []byte) rune {
	best, bestLines, bestCells := ',', 0, 0
	for _, candidate := range "\t;," {
		lines, cells := commonCount(text, byte(candidate))
		if lines > bestLines || lines == bestLines && cells > bestCells {
			best, bestLines, bestCells = candidate, lines, cells
		}
	}
	return best
}

// commonCount counts the separators of the first lines and returns how many
// lines share the most common count above zero, and that count.
func commonCount(text []byte, separator byte) (lines, cells int) {
	shared := map[int]int{}
	for i := 0; i < searchedRecords && len(text) > 0; i++ {
		line, rest, _ := bytes.Cut(text, []byte("\n"))
		text = rest
		if n := bytes.Count(line, []byte{separator}); n > 0 && line[0] != '#' {
			shared[n]++
			if shared[n] > lines || shared[n] == lines && n > cells {
				lines, cells = shared[n], n
			}
		}
	}
	return lines, cells
}
