package datapackage

import (
	"bytes"
	"encoding/csv"
	"strings"
)

// Table says what one kind of CSV file holds.
type Table struct {
	Name       string      // of the kind, such as "shoes" or "derived blocks"
	Title      string      // what one row is
	Fields     []Field     // in canonical order
	Key        []string    // columns whose values together name a row; none where rows may repeat
	References []Reference // columns whose values are ids of another table
}

// Field is one column. Type is a type of Table Schema: string, number, integer,
// boolean or date. A number without a Unit is a pure number or says in its
// Meaning where the unit stands.
type Field struct {
	Name, Type    string
	Unit, Meaning string
	Required      bool     // never blank
	OneOf         []string // the words that may stand there
	Min, Max      string   // bounds of a number, "" for none
}

// Reference says that a blank-or-known id of another table stands in a column.
type Reference struct{ Column, Table, Field string }

// Description is the meaning with the unit, as one sentence or two.
func (f Field) Description() string {
	if f.Unit == "" {
		return f.Meaning + "."
	}
	return f.Meaning + ". Unit: " + f.Unit + "."
}

// TableOf returns the kind of table that stands at a path of a dataset, or nil
// where there is none: a file that is no CSV, or not at a place for one.
func TableOf(path string) *Table {
	if !strings.HasSuffix(path, ".csv") {
		return nil
	}
	if t, fixed := fixedTables[path]; fixed {
		return t
	}
	folder, name, inSession := strings.Cut(strings.TrimPrefix(path, "sessions/"), "/")
	switch {
	case !strings.HasPrefix(path, "sessions/") || !inSession || folder == "" || strings.Contains(name, "/"):
		return nil
	case name == "blocks.csv":
		return &blocks
	}
	return &recording
}

// Header returns the column names of a CSV file, nil when the first row cannot be
// read.
func Header(text []byte) []string {
	header, err := csv.NewReader(bytes.NewReader(text)).Read()
	if err != nil {
		return nil
	}
	return header
}

// in returns the fields of the columns that a file really has, in its order. A
// column that the table does not know is any text.
func (t *Table) in(header []string) []Field {
	fields := make([]Field, len(header))
	for i, name := range header {
		fields[i] = Field{Name: name, Type: "string", Meaning: "Not described"}
		for _, f := range t.Fields {
			if f.Name == name {
				fields[i] = f
			}
		}
	}
	return fields
}
