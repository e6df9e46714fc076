package derive

import (
	"iter"
	"strconv"

	"soletrial/pipeline/units"
)

// Column says what a column of a derived table holds.
type Column struct {
	Name, Type    string // Type is one of Table Schema: string, number, integer, boolean or date
	Unit, Meaning string
	Required      bool     // never blank
	OneOf         []string // the words that may stand there
	Min, Max      string   // bounds of a number, "" for none
}

// column is a [Column] with the value that it has in a row. Row is a pointer in every
// table: the compiler then makes one copy of the code for all of them.
type column[Row any] struct {
	Column
	value func(Row) value
}

// value is what stands in a cell.
type value struct {
	kind     valueKind
	text     string
	number   float64 // of a yes or no: 1 or 0
	decimals int
}

type valueKind int

const (
	blankValue       valueKind = iota
	textValue                  // text
	decimalValue               // number with decimals; blank where it is missing
	significantValue           // number with six significant digits; the same
	countValue                 // number, whole
	boolValue
)

func text[Row any](name, meaning string, of func(Row) string) column[Row] {
	return column[Row]{Column{Name: name, Type: "string", Meaning: meaning}, func(r Row) value {
		return value{kind: textValue, text: of(r)}
	}}
}

func date[Row any](name, meaning string, of func(Row) string) column[Row] {
	c := text(name, meaning, of)
	c.Type = "date"
	return c
}

func number[Row any](name, unit, meaning string, decimals int, of func(Row) float64) column[Row] {
	return column[Row]{Column{Name: name, Type: "number", Unit: unit, Meaning: meaning}, func(r Row) value {
		return value{kind: decimalValue, number: of(r), decimals: decimals}
	}}
}

// probability is a number with six significant digits.
func probability[Row any](name, meaning string, of func(Row) float64) column[Row] {
	return column[Row]{Column{Name: name, Type: "number", Meaning: meaning, Min: "0", Max: "1"}, func(r Row) value {
		return value{kind: significantValue, number: of(r)}
	}}
}

func count[Row any](name, meaning string, of func(Row) int) column[Row] {
	return column[Row]{Column{Name: name, Type: "integer", Meaning: meaning, Min: "0"}, func(r Row) value {
		return value{kind: countValue, number: float64(of(r))}
	}}
}

func yesNo[Row any](name, meaning string, of func(Row) bool) column[Row] {
	return column[Row]{Column{Name: name, Type: "boolean", Meaning: meaning}, func(r Row) value {
		if of(r) {
			return value{kind: boolValue, number: 1}
		}
		return value{kind: boolValue}
	}}
}

// required marks a column that is never blank.
func (c column[Row]) required() column[Row] {
	c.Required = true
	return c
}

// within bounds a number; "" is no bound.
func (c column[Row]) within(min, max string) column[Row] {
	c.Min, c.Max = min, max
	return c
}

// oneOf lists the words that may stand in a column.
func (c column[Row]) oneOf(words ...string) column[Row] {
	c.OneOf = words
	return c
}

// blankUnless leaves the rows blank for which known is false.
func (c column[Row]) blankUnless(known func(Row) bool) column[Row] {
	of := c.value
	c.value = func(r Row) value {
		if !known(r) {
			return value{}
		}
		return of(r)
	}
	return c
}

// columnsOf makes columns of a part of a row into columns of the row.
func columnsOf[Row, Part any](columns []column[Part], part func(Row) Part) []column[Row] {
	whole := make([]column[Row], len(columns))
	for i, c := range columns {
		whole[i] = column[Row]{c.Column, func(r Row) value { return c.value(part(r)) }}
	}
	return whole
}

// described leaves the values of columns out.
func described[Row any](columns []column[Row]) []Column {
	list := make([]Column, len(columns))
	for i, c := range columns {
		list[i] = c.Column
	}
	return list
}

// csvTable writes a table: its header, then the rows. Expected is about how many
// bytes there will be.
func csvTable[Row any](columns []column[Row], rows iter.Seq[Row], expected int) []byte {
	w := csvText{text: make([]byte, 0, expected)}
	for _, c := range columns {
		w.str(c.Name)
	}
	w.end()
	for row := range rows {
		for i := range columns {
			w.value(columns[i].value(row))
		}
		w.end()
	}
	return w.text
}

func (w *csvText) value(v value) {
	switch v.kind {
	case blankValue, textValue:
		w.str(v.text)
	case decimalValue:
		w.next()
		w.text = units.AppendDecimal(w.text, v.number, v.decimals)
	case significantValue:
		w.next()
		w.text = append(w.text, units.FormatSignificant(v.number, 6)...)
	case countValue:
		w.next()
		w.text = strconv.AppendInt(w.text, int64(v.number), 10)
	case boolValue:
		w.str(yesOrNo(v.number == 1))
	}
}

func yesOrNo(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}

// json returns the value for encoding/json, numbers not rounded, and nil for blank.
func (v value) json() any {
	switch {
	case v.kind == textValue:
		return v.text
	case v.kind == boolValue:
		return v.number == 1
	case v.kind == blankValue || !units.Known(v.number):
		return nil
	case v.kind == countValue:
		return int(v.number)
	}
	return v.number
}
