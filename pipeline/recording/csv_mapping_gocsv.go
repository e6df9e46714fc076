//go:build !js

package recording

import "github.com/gocarina/gocsv"

// mapRows brings the cells of a table to the fields of rows by their headings.
// This is the only file that knows gocsv; in the browser csv_mapping_js.go does
// the same, as gocsv links the net package.
func mapRows(t *table) (rows []row, err error) {
	err = gocsv.UnmarshalCSV(t, &rows)
	return rows, err
}
