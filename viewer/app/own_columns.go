package app

import (
	"maps"

	"soletrial/pipeline/trial"
)

// OwnColumns are the columns of a CSV that the reader opened: what each channel, and the time
// under "elapsed_s", is read from. The reader corrects it where the headings do not tell.
type OwnColumns struct {
	Name     string
	Headings []string
	Chosen   map[string]string // heading by channel column; none for what the file lacks
	Unread   bool              // the file could not be read with them
	Changed  bool              // the reader changed them since
}

// ColumnKeys lists what a column can hold, the time first.
func ColumnKeys() []string {
	keys := []string{trial.ElapsedColumn}
	for c := range trial.ChannelCount {
		keys = append(keys, c.Info().Column)
	}
	return keys
}

// OwnColumns returns the columns of the CSV that was opened last, nil where there are none to
// choose.
func (m *Model) OwnColumns() *OwnColumns { return m.ownColumns }

// SetOwnColumns says which columns the file opened last has; none for a file without headings.
func (m *Model) SetOwnColumns(c *OwnColumns) { m.ownColumns = c }

// chooseColumn takes the choice of a column for a channel or the time, "" for none.
func (m *Model) chooseColumn(key, heading string) {
	if m.ownColumns == nil {
		return
	}
	m.ownColumns.Chosen, m.ownColumns.Changed = maps.Clone(m.ownColumns.Chosen), true
	if m.ownColumns.Chosen[key] = heading; heading == "" {
		delete(m.ownColumns.Chosen, key)
	}
}
