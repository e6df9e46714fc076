package plaintext

import "reflect"

// mapRows turns records into rows of R by the `csv` tags of its fields. It is
// what mapping_gocsv.go does elsewhere; the same tests run over both.
func mapRows[R any](header []cell, records [][]cell) ([]R, error) {
	columns := names(columnsOf[R]())
	rows := make([]R, len(records))
	for i, record := range records {
		mapRow(reflect.ValueOf(&rows[i]).Elem(), columns, header, record)
	}
	return rows, nil
}

func mapRow(row reflect.Value, columns []string, header, record []cell) {
	for j, c := range record {
		for k, name := range columns {
			if name == header[j].text {
				row.Field(k).Set(reflect.ValueOf(c))
			}
		}
	}
}
