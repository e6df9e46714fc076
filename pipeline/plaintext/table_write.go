package plaintext

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"reflect"
	"slices"

	"soletrial/pipeline/stable"
	"soletrial/pipeline/units"
)

// written is a cell that holds text.
func written(text string) cell { return cell{text: text} }

// decimal is a cell that holds a number, blank where it is missing.
func decimal(x float64, decimals int) cell { return cell{text: units.FormatDecimal(x, decimals)} }

// appendRegister writes values in the order of their ids. An empty register has
// every column: it is a form that somebody is about to fill in.
func appendRegister[V, R any](dst []byte, values []V, row func(V) R) []byte {
	rows := make([]R, len(values))
	for i, value := range values {
		rows[i] = row(value)
	}
	stable.Sort(rows, func(a, b R) int { return cmp.Compare(first(a), first(b)) })
	columns := columnsOf[R]()
	if len(rows) > 0 {
		columns = required(columns)
	}
	return appendTable(dst, rows, columns)
}

// first returns the text of a row's first cell, which is its id.
func first[R any](row R) string { return reflect.ValueOf(row).Field(0).Interface().(cell).text }

// appendTable writes rows in canonical form: columns in the order of R's fields,
// without those that are blank throughout unless they are to be kept, quoted only
// where a cell needs it, each line ended by LF.
func appendTable[R any](dst []byte, rows []R, kept []column) []byte {
	table := [][]string{names(columnsOf[R]())}
	for _, row := range rows {
		table = append(table, rowTexts(row))
	}
	table = withoutBlankColumns(table, names(kept))
	buffer := bytes.NewBuffer(dst)
	writer := csv.NewWriter(buffer)
	if err := writer.WriteAll(table); err != nil {
		panic(err) // a buffer takes everything
	}
	return buffer.Bytes()
}

func rowTexts[R any](row R) []string {
	value := reflect.ValueOf(row)
	list := make([]string, value.NumField())
	for i := range list {
		list[i] = value.Field(i).Interface().(cell).text
	}
	return list
}

func withoutBlankColumns(table [][]string, kept []string) [][]string {
	var keep []int
	for j, name := range table[0] {
		filled := slices.ContainsFunc(table[1:], func(row []string) bool { return row[j] != "" })
		if filled || slices.Contains(kept, name) {
			keep = append(keep, j)
		}
	}
	thin := make([][]string, len(table))
	for i, row := range table {
		for _, j := range keep {
			thin[i] = append(thin[i], row[j])
		}
	}
	return thin
}

// required picks the columns that every file has.
func required(columns []column) []column {
	var list []column
	for _, c := range columns {
		if c.required {
			list = append(list, c)
		}
	}
	return list
}
