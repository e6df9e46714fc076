package export

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"

	"github.com/parquet-go/parquet-go"

	"soletrial/pipeline/flat"
	"soletrial/pipeline/units"
)

// csvTable writes rows into a CSV file with LF, under a row of headings.
type csvTable struct {
	file    *os.File
	buffer  *bufio.Writer
	writer  *csv.Writer
	columns []flat.Column
	cells   []string
	digest  digest
}

func createCSV(path string, columns []flat.Column) (*csvTable, error) {
	file, err := os.Create(path)
	if err != nil {
		return nil, err
	}
	buffer := bufio.NewWriterSize(file, 1<<16)
	t := &csvTable{file: file, buffer: buffer, writer: csv.NewWriter(buffer), columns: columns,
		cells: make([]string, len(columns)), digest: newDigest()}
	return t, t.write(headings(columns))
}

func headings(columns []flat.Column) (names []string) {
	for i := range columns {
		names = append(names, columns[i].Name)
	}
	return names
}

func (t *csvTable) add(r *flat.Row) error {
	for i := range t.columns {
		t.cells[i] = cell(&t.columns[i], r)
	}
	return t.write(t.cells)
}

func cell(c *flat.Column, r *flat.Row) string {
	v := c.Value(r)
	switch {
	case !v.Known:
		return ""
	case c.Type == "number" && c.Decimals == flat.AllDigits:
		return units.FormatExact(v.Number)
	case c.Type == "number":
		return units.FormatDecimal(v.Number, c.Decimals)
	case c.Type == "boolean" && v.Yes:
		return "yes"
	case c.Type == "boolean":
		return "no"
	}
	return v.Text
}

func (t *csvTable) write(cells []string) error {
	t.digest.add(textRow(cells))
	return t.writer.Write(cells)
}

// textRow is a row of text for a digest.
func textRow(cells []string) parquet.Row {
	row := make(parquet.Row, len(cells))
	for i, text := range cells {
		row[i] = parquet.ByteArrayValue([]byte(text)).Level(0, 1, i)
	}
	return row
}

// close writes what is left, and reads all of it back.
func (t *csvTable) close() error {
	t.writer.Flush()
	path := t.file.Name()
	if err := errors.Join(t.writer.Error(), t.buffer.Flush(), t.file.Close()); err != nil {
		return err
	}
	return t.readBack(path)
}

// readBack reads a written file and compares every cell.
func (t *csvTable) readBack(path string) error {
	file, err := os.Open(path)
	if err != nil {
		return err
	}
	defer file.Close()
	reader, read := csv.NewReader(bufio.NewReaderSize(file, 1<<16)), newDigest()
	reader.ReuseRecord = true
	for {
		cells, err := reader.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return fmt.Errorf("reading it back: %w", err)
		}
		read.add(textRow(cells))
	}
	return t.digest.same(&read)
}

// earlierTable reports whether a file is a flat table that an earlier export made.
func earlierTable(path string) bool {
	file, err := os.Open(path)
	if err != nil {
		return false
	}
	defer file.Close()
	if cells, err := csv.NewReader(io.LimitReader(file, 1<<16)).Read(); err == nil {
		if slices.Equal(cells, headings(flat.Columns())) {
			return true
		}
	}
	info, err := file.Stat()
	if err != nil {
		return false
	}
	table, err := parquet.OpenFile(file, info.Size())
	return err == nil && table.Metadata().CreatedBy == createdBy
}
