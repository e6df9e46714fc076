package plaintext

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"strings"

	"soletrial/pipeline/trial"
)

// readTable reads a CSV file into rows of R, a struct of cells. Rows that
// cannot be read as a row are reported and left out; whole is false when there
// are any, or when the header does not allow to read rows at all.
func readTable[R any](src source, r *report) (rows []R, whole bool) {
	header, records, whole := src.tableRecords(columnsOf[R](), r)
	if header == nil {
		return nil, false
	}
	rows, err := mapRows[R](header, records)
	if err != nil {
		r.file(src.file, "", "cannot be read: %v", err)
	}
	return rows, whole && err == nil
}

// tableRecords reads the header of a table with the given columns, and the cells of every
// row that can be read. The header is nil where it does not allow to read rows.
func (s source) tableRecords(columns []column, r *report) (header []cell, records [][]cell, whole bool) {
	if s.mend != nil {
		s.text = s.mend(s.text)
	} else if semicolons(s.text) {
		r.at(s.file, 1, 1, "tidy repairs it", "semicolons separate the cells, as spreadsheets save a table")
		return nil, nil, false
	}
	if len(bytes.TrimSpace(s.text)) == 0 {
		r.at(s.file, 1, 0, "start with the header "+strings.Join(names(columns), ","), "the file is empty")
		return nil, nil, false
	}
	// Cut into cells only what has the shape of a table.
	s.starts = lineStarts(s.text)
	if !s.within(len(s.starts), maxRows, r) || !s.allTableLines(r) {
		return nil, nil, false
	}
	records, whole = s.records(r)
	if len(records) == 0 {
		return nil, nil, false
	}
	// Leave out the rows that are not sound; all of them are reported.
	header = records[0]
	s.renameColumns(header, columns, r)
	complete := r.checkHeader(header, columns)
	kept := records[:0]
	for _, record := range records[1:] {
		switch {
		case s.skips(record, r):
		case s.sound(record, header, r):
			kept = append(kept, record)
		default:
			whole = false
		}
	}
	if !complete {
		return nil, nil, false
	}
	return header, kept, whole
}

// records reads all rows, the header among them, as cells with their places.
// There are none when the header itself cannot be read; whole is false when a
// row is lost.
func (s source) records(r *report) (records [][]cell, whole bool) {
	s.checkLines(r)
	reader := csv.NewReader(bytes.NewReader(s.text))
	reader.FieldsPerRecord = -1
	whole = true
	for {
		fields, err := reader.Read()
		quoting, misquoted := errors.AsType[*csv.ParseError](err)
		switch {
		case errors.Is(err, io.EOF):
			return records, whole
		case misquoted:
			whole = false
			r.at(s.file, quoting.Line, s.column(quoting.Line, quoting.Column),
				"put the whole cell in quotes and write a quote inside it twice", "a quote is not allowed here")
			if len(records) == 0 {
				return nil, false
			}
		case err != nil:
			r.file(s.file, "", "cannot be read: %v", err)
			return nil, false
		default:
			records = append(records, s.record(reader, fields))
		}
	}
}

func (s source) record(reader *csv.Reader, fields []string) []cell {
	record := make([]cell, len(fields))
	for i, field := range fields {
		line, column := reader.FieldPos(i)
		if s.lenient {
			field = strings.Trim(field, blanks)
		}
		record[i] = cell{text: field, at: trial.Position{File: s.file, Line: line, Column: s.column(line, column)}}
	}
	return record
}

func (s source) allTableLines(r *report) bool {
	for i := range s.starts {
		if !s.isTableLine(i+1, s.line(i+1), r) {
			return false
		}
	}
	return true
}

// checkLines reports empty lines, which the CSV reader passes over.
func (s source) checkLines(r *report) {
	if s.lenient {
		return
	}
	for i := range s.starts {
		if len(s.line(i+1)) == 0 && s.starts[i] < len(s.text) {
			r.at(s.file, i+1, 1, "remove it; tidy does", "the line is empty")
		}
	}
}

// skips reports whether a row is blank throughout, which is a problem but loses
// nothing.
func (s source) skips(record []cell, r *report) bool {
	if at := record[0].at; empty(record) && !s.lenient {
		r.at(at.File, at.Line, at.Column, "remove it; tidy does", "the row is empty")
	}
	return empty(record)
}

// sound names the cells of a row after the header and reports whether the row
// can be read: it has as many cells, none of them with blanks around.
func (s source) sound(record, header []cell, r *report) bool {
	at := record[0].at
	if len(record) != len(header) {
		hint := "add or remove commas, or quote a text that contains one"
		if len(record) > len(header) && empty(record[len(header):]) {
			hint = "remove the commas at its end; tidy does"
		}
		r.at(at.File, at.Line, at.Column, hint,
			"the row has %d cells, the header has %d", len(record), len(header))
		return false
	}
	for i := range record {
		record[i].column = header[i].text
		if strings.Trim(record[i].text, blanks) != record[i].text {
			r.complain(record[i], "remove it; tidy does", "%q has a space at its edge", record[i].text)
			record[i].text = strings.Trim(record[i].text, blanks)
		}
	}
	return true
}

// blanks are the characters that tidy takes off both ends of a cell.
const blanks = " \t\u00a0"

func empty(record []cell) bool {
	for _, c := range record {
		if strings.Trim(c.text, blanks) != "" {
			return false
		}
	}
	return true
}
