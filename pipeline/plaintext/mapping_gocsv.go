//go:build !js

package plaintext

import (
	"errors"
	"strconv"
	"strings"

	"github.com/gocarina/gocsv"

	"soletrial/pipeline/trial"
)

// This is the only file that knows gocsv. It is used for one thing, to bring
// the cells of a row into the fields of a struct by their headings. The header
// was checked before, and every field is a cell, because gocsv's own conversions
// turn a blank into 0, accept "NaN" and pass over unknown columns in silence. In
// the browser mapping_js.go does the same, as gocsv links the net package.

const cellSeparator = "\x1f"

// mapRows turns records, a header first, into rows of R.
func mapRows[R any](header []cell, records [][]cell) ([]R, error) {
	if len(records) == 0 {
		return nil, nil
	}
	var rows []R
	if err := gocsv.UnmarshalCSV(positionedRecords{header, records}, &rows); err != nil {
		return nil, err
	}
	return rows, nil
}

// positionedRecords hands records to gocsv, each cell with its place in front of its text.
type positionedRecords struct {
	header  []cell
	records [][]cell
}

func (c positionedRecords) Read() ([]string, error) {
	return nil, errors.New("rows are read all at once")
}

func (c positionedRecords) ReadAll() ([][]string, error) {
	headings := make([]string, len(c.header))
	for i, cell := range c.header {
		headings[i] = cell.text
	}
	all := [][]string{headings}
	for _, record := range c.records {
		packed := make([]string, len(record))
		for i, cell := range record {
			packed[i] = cell.pack()
		}
		all = append(all, packed)
	}
	return all, nil
}

func (c cell) pack() string {
	return strings.Join([]string{c.at.File, strconv.Itoa(c.at.Line), strconv.Itoa(c.at.Column), c.column, c.text},
		cellSeparator)
}

// UnmarshalCSV unpacks a cell on the far side of gocsv.
func (c *cell) UnmarshalCSV(packed string) error {
	parts := strings.SplitN(packed, cellSeparator, 5)
	if len(parts) != 5 {
		return errors.New("a cell without its place")
	}
	line, errLine := strconv.Atoi(parts[1])
	column, errColumn := strconv.Atoi(parts[2])
	*c = cell{column: parts[3], text: parts[4], at: trial.Position{File: parts[0], Line: line, Column: column}}
	return errors.Join(errLine, errColumn)
}
