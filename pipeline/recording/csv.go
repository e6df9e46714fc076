package recording

import (
	"bytes"
	"errors"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// readCSV reads a table of samples whose headings, units and time are another
// program's.
func readCSV(name string, src []byte, o Options) (*Import, error) {
	// Refuse what is not text.
	text := bytes.TrimPrefix(src, []byte(utf8BOM))
	if bytes.IndexByte(text, 0) >= 0 {
		return nil, &Error{
			File:    name,
			Message: "this is neither FIT, GPX nor text",
			Hint:    "a CSV file must be saved as UTF-8 text",
		}
	}
	// Find out which column holds what.
	imp := &Import{Format: "csv", Samples: &trial.Samples{}, Zone: o.Zone}
	table, err := openTable(name, text, o)
	if err != nil {
		return nil, err
	}
	if err := table.choose(o, imp); err != nil {
		return nil, err
	}
	if err := imp.fillFromTable(table); err != nil {
		if ours, ok := errors.AsType[*Error](err); ok {
			ours.Columns = imp.Columns // another choice of columns may be readable
		}
		return nil, err
	}
	return imp, nil
}

// fillFromTable reads a table whose columns are chosen.
func (imp *Import) fillFromTable(t *table) error {
	rows, err := mapRows(t)
	if err != nil {
		return t.asError(err)
	}
	if laps, err := imp.fillFromLaps(t, rows); laps || err != nil {
		return err
	}
	if err := imp.fillFromRows(t, rows); err != nil {
		return err
	}
	imp.halveStride()
	return nil
}

func (imp *Import) fillFromRows(t *table, rows []row) error {
	rows, err := imp.placeInTime(t, rows)
	if err != nil {
		return err
	}
	for c := range trial.ChannelCount {
		chosen, ok := t.channels[c]
		if !ok {
			continue
		}
		column, err := t.column(c, chosen, rows)
		if err != nil {
			return err
		}
		imp.take(column)
	}
	return nil
}

// column reads one channel from the rows.
func (t *table) column(c trial.Channel, h heading, rows []row) (column, error) {
	out := column{channel: c, unit: h.unit, from: h.from(), values: make([]float64, len(rows))}
	var inCells *unit
	clock := false
	for i := range rows {
		cell := rows[i].channel(c)
		number, stated := cutUnit(c, cell.text)
		v, ok := units.Missing, true
		switch {
		case missingWord(cell.text):
		case stated != nil && inCells != nil && stated != inCells:
			return out, t.twoUnits(rows[i].Line, h, cell.text, inCells)
		case c == trial.SpeedMps && strings.Contains(number, ":"):
			v, ok = colonSeconds(number)
			clock = true
		default:
			v, ok = foreignNumber(number, t.decimalComma())
		}
		if !ok {
			return out, t.badCell(rows[i].Line, h, cell.text)
		}
		if stated != nil {
			inCells = stated
		}
		out.values[i] = v
	}
	// The unit: that of the cells, else that of the heading.
	if inCells != nil {
		out.unit = inCells
	}
	if out.unit != nil && out.unit.refuse != "" {
		return out, t.fail(t.headLine, h.index,
			h.from()+" is in "+out.unit.name+": "+out.unit.refuse,
			"map a column in "+unitTable[c][0].name+", or leave it out")
	}
	if clock {
		out.unit = unitNamed(c, paceOf(out.unit))
	}
	return out, nil
}

// cutUnit cuts a unit of a channel off the end of a cell: "268 W", "0.82 mi", "6:40/mi".
// The unit is nil where there is none.
func cutUnit(c trial.Channel, text string) (number string, stated *unit) {
	text = strings.TrimSpace(text)
	end := strings.LastIndexAny(text, "0123456789.") + 1
	if stated = unitNamed(c, text[end:]); stated == nil || end == 0 {
		return text, nil
	}
	return strings.TrimSpace(text[:end]), stated
}

// twoUnits is the error for a cell in another unit than those above it.
func (t *table) twoUnits(line int, h heading, text string, above *unit) *Error {
	return t.fail(line, h.index, "\""+text+"\" in column \""+h.text+"\" is in another unit than the "+above.name+
		" of the rows above", "write the column in one unit")
}

// paceOf names the unit of a pace written as minutes and seconds.
func paceOf(stated *unit) string {
	if stated != nil && strings.HasSuffix(stated.name, "/mi") {
		return "s/mi"
	}
	return "s/km"
}

// halveStride corrects a step length that is a stride (two steps): cadence times
// step length is then twice the speed. Without a speed and a cadence to compare
// with nothing is changed.
func (imp *Import) halveStride() {
	s := imp.Samples
	cadence, length, speed := s.Values[trial.CadenceSpm], s.Values[trial.StepLengthM], s.Values[trial.SpeedMps]
	if cadence == nil || length == nil || speed == nil {
		return
	}
	// Cadence times step length is the speed; with strides it is twice that.
	ratios := make([]float64, len(length))
	for i := range ratios {
		ratios[i] = units.Missing
		if speed[i] > 1 {
			ratios[i] = units.StepProduct(cadence[i], length[i]) / speed[i]
		}
	}
	if mid := median(ratios); !(mid > 1.8 && mid < 2.2) {
		return
	}
	// Halve them, and say so.
	for i := range length {
		length[i] /= 2
	}
	for i := range imp.Sources {
		if src := &imp.Sources[i]; src.Column == trial.StepLengthM.Info().Column {
			src.Conversion = strings.TrimPrefix(src.Conversion+
				", stride (two steps) halved, since cadence times length is twice the speed",
				", ")
		}
	}
}
