package recording

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"soletrial/pipeline/trial"
)

// cell is the text of a cell as it stands. Having it implement gocsv's
// unmarshaller keeps gocsv from reading numbers itself, which it does loosely.
type cell struct{ text string }

// UnmarshalCSV keeps the text.
func (c *cell) UnmarshalCSV(text string) error {
	c.text = text
	return nil
}

// row is one sample as gocsv reads it. The tags are the names under which the
// table shows the chosen columns; a column that was not chosen stays blank.
type row struct {
	Line        int  `csv:"line"`
	Elapsed     cell `csv:"elapsed_s"`
	Clock       cell `csv:"clock"`
	Power       cell `csv:"power_w"`
	Speed       cell `csv:"speed_mps"`
	Distance    cell `csv:"distance_m"`
	Cadence     cell `csv:"cadence_spm"`
	StepLength  cell `csv:"step_length_m"`
	Contact     cell `csv:"contact_ms"`
	Oscillation cell `csv:"oscillation_cm"`
	HeartRate   cell `csv:"heart_rate_bpm"`
	Altitude    cell `csv:"altitude_m"`
	Air         cell `csv:"air_c"`
}

// The names of the columns of a row that are no channel.
const (
	lineColumn  = "line"
	clockColumn = "clock"
)

// channel returns the cell of a channel.
func (r *row) channel(c trial.Channel) *cell {
	return [trial.ChannelCount]*cell{
		trial.PowerW: &r.Power, trial.SpeedMps: &r.Speed, trial.DistanceM: &r.Distance, trial.CadenceSpm: &r.Cadence,
		trial.StepLengthM: &r.StepLength, trial.ContactMs: &r.Contact, trial.OscillationCm: &r.Oscillation,
		trial.HeartRateBpm: &r.HeartRate, trial.AltitudeM: &r.Altitude, trial.AirC: &r.Air,
	}[c]
}

// shown lists the chosen columns in the order in which the table shows them.
func (t *table) shown() (names []string, indexes []int) {
	add := func(name string, h *heading) {
		if h != nil {
			names, indexes = append(names, name), append(indexes, h.index)
		}
	}
	add(trial.ElapsedColumn, t.elapsed)
	add(clockColumn, t.clock)
	for c := range trial.ChannelCount {
		if h, ok := t.channels[c]; ok {
			add(c.Info().Column, &h)
		}
	}
	return append(names, lineColumn), indexes
}

// ReadAll gives gocsv the names and the cells of the chosen columns, with the
// line of each row, so that later complaints can say where a cell stands.
func (t *table) ReadAll() ([][]string, error) {
	names, indexes := t.shown()
	all := [][]string{names}
	for {
		r, err := t.nextRow()
		if errors.Is(err, io.EOF) {
			return all, nil
		}
		if err != nil {
			return nil, err
		}
		if len(all) > trial.MaxSamples {
			return nil, t.fail(r.line, -1,
				fmt.Sprintf("the file has more than the %d rows that are read", trial.MaxSamples),
				"cut the file into single runs, or export it with one sample a second")
		}
		kept := make([]string, 0, len(names))
		for _, i := range indexes {
			kept = append(kept, strings.Clone(r.cells[i])) // lets go of the rest of the record
		}
		all = append(all, append(kept, strconv.Itoa(r.line)))
	}
}

// Read is there to satisfy gocsv.CSVReader, which reads row by row only when it
// streams; a table is read at once.
func (t *table) Read() ([]string, error) {
	return nil, errors.New("a table is read at once")
}
