package recording

import (
	"strconv"

	"soletrial/pipeline/trial"
)

// mapRows brings the cells of a table to the fields of rows by their headings. It
// is what csv_mapping_gocsv.go does elsewhere; the same tests run over both.
func mapRows(t *table) ([]row, error) {
	all, err := t.ReadAll()
	if err != nil {
		return nil, err
	}
	rows := make([]row, len(all)-1)
	for i, cells := range all[1:] {
		for j, name := range all[0] {
			if err := rows[i].set(name, cells[j]); err != nil {
				return nil, err
			}
		}
	}
	return rows, nil
}

func (r *row) set(name, text string) (err error) {
	channel, known := trial.ChannelNamed(name)
	switch {
	case known:
		r.channel(channel).text = text
	case name == trial.ElapsedColumn:
		r.Elapsed.text = text
	case name == clockColumn:
		r.Clock.text = text
	default:
		r.Line, err = strconv.Atoi(text)
	}
	return err
}
