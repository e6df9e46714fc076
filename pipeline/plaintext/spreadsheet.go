package plaintext

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strings"

	"soletrial/pipeline/units"
)

// semicolons reports whether a table is separated by semicolons, as spreadsheets save
// it where the comma stands for the decimal point.
func semicolons(text []byte) bool {
	header, _, _ := bytes.Cut(text, []byte{'\n'})
	return bytes.IndexByte(header, ';') >= 0 && bytes.IndexByte(header, ',') < 0
}

// mendTable turns a table as spreadsheets and people write it into one of commas and
// decimal points: semicolons between cells, decimal commas, empty cells at the right
// edge, numbers with their unit (214 g, 7.5 oz, 440 yd, 6:30/mi). A table that it does
// not understand, or in which nothing needs mending, stays as it is.
func mendTable(text []byte) []byte {
	rows, separator := cellsOf(text)
	if len(rows) == 0 {
		return text
	}
	// Empty columns at the right edge go, and empty cells beyond them.
	changed := separator == ';'
	width := len(rows[0])
	for width > 0 && strings.TrimSpace(rows[0][width-1]) == "" && emptyColumns(rows, width-1) {
		width--
		changed = true
	}
	// Numbers lose their unit and their decimal comma.
	for i, row := range rows {
		for j := range row {
			if i > 0 && j < width {
				if plain := plainCell(rows[0][j], row[j], separator == ';'); plain != row[j] {
					row[j], changed = plain, true
				}
			}
		}
		if len(row) > width && strings.TrimSpace(strings.Join(row[width:], "")) == "" {
			rows[i], changed = row[:width], true
		}
	}
	// Write only what differs.
	if !changed {
		return text
	}
	var out bytes.Buffer
	writer := csv.NewWriter(&out)
	if err := writer.WriteAll(rows); err != nil {
		return text
	}
	return out.Bytes()
}

// cellsOf reads a table with the separator it has; no rows where it is no table.
func cellsOf(text []byte) (rows [][]string, separator rune) {
	reader := csv.NewReader(bytes.NewReader(text))
	reader.FieldsPerRecord = -1
	if semicolons(text) {
		reader.Comma = ';'
	}
	rows, err := reader.ReadAll()
	if err != nil {
		return nil, reader.Comma
	}
	return rows, reader.Comma
}

// endsInSeparators reports whether a table has separators at the end of its heading, or
// rows with more cells than headings.
func endsInSeparators(text []byte) bool {
	rows, _ := cellsOf(text)
	for _, row := range rows {
		if len(row) > len(rows[0]) {
			return true
		}
	}
	return len(rows) > 0 && strings.TrimSpace(rows[0][len(rows[0])-1]) == ""
}

// hasUnits reports whether a table has numbers with a unit that tidy takes off.
func hasUnits(text []byte) bool {
	rows, separator := cellsOf(text)
	for i, row := range rows {
		for j, cell := range row {
			bare := strings.TrimSpace(cell)
			if i > 0 && j < len(rows[0]) && !decimalComma(bare) &&
				plainCell(rows[0][j], bare, separator == ';') != bare {
				return true
			}
		}
	}
	return false
}

// emptyColumns reports whether every row is blank from a column on.
func emptyColumns(rows [][]string, from int) bool {
	for _, row := range rows {
		for j := from; j < len(row); j++ {
			if strings.TrimSpace(row[j]) != "" {
				return false
			}
		}
	}
	return true
}

// decimalComma reports whether a cell starts with a number that has a decimal comma.
func decimalComma(cell string) bool {
	whole, fraction, found := strings.Cut(strings.TrimPrefix(strings.TrimSpace(cell), "-"), ",")
	return found && units.AllDigits(whole) && fraction != "" && fraction[0] >= '0' && fraction[0] <= '9'
}

// withoutUnit is a number with a unit as its column wants it, whose name ends in a unit; known
// is false where it is none, or tidy takes no unit off in such a column.
func withoutUnit(column, text string) (plain string, known bool) {
	for _, unit := range []struct {
		ending string
		parse  func(string) (float64, error)
		per    float64
	}{
		{"_kg", units.ParseMass, 1000}, {"_g", units.ParseMass, 1}, {"_km", units.ParseLength, 1000},
		{"_m", units.ParseLength, 1}, {"_w", units.ParsePower, 1}, {"_bpm", units.ParseHeartRate, 1},
	} {
		if strings.HasSuffix(column, unit.ending) {
			value, err := unit.parse(text)
			return units.FormatExact(units.Round(value/unit.per, 3)), err == nil
		}
	}
	return "", false
}

// plainCell is a cell of a column as the column wants it.
func plainCell(column, cell string, commas bool) string {
	if commas && decimalComma(cell) {
		cell = strings.Replace(cell, ",", ".", 1)
	}
	bare := strings.TrimSpace(cell)
	if bare == "" || strings.Trim(bare, "0123456789.-:") == "" {
		return cell // a plain number or clock time
	}
	column = strings.TrimSpace(column)
	if plain, known := withoutUnit(column, bare); known {
		return plain
	}
	if column == "target" {
		if pace, err := units.ParseAnyPace(bare); err == nil {
			return units.FormatTarget(pace)
		}
		if power, err := units.ParsePower(bare); err == nil {
			return units.FormatExact(power)
		}
		if rate, err := units.ParseHeartRate(bare); err == nil {
			return units.FormatExact(rate)
		}
	}
	return cell
}

// Untidy says in words how a file differs from its canonical form: what tidy changes
// in it.
func Untidy(text, canonical []byte) []string {
	var changes []string
	say := func(found bool, change string) {
		if found {
			changes = append(changes, change)
		}
	}
	plain := bytes.TrimPrefix(text, []byte(byteOrderMark))
	say(len(plain) < len(text), "byte order mark removed")
	say(bytes.Contains(plain, []byte{'\r'}), "line ends changed to LF")
	plain = bytes.ReplaceAll(plain, []byte("\r\n"), []byte{'\n'})
	say(semicolons(plain), "cells separated by commas, decimals by points")
	blankLine, edgeBlank := blanksIn(plain)
	say(blankLine, "blank lines removed")
	say(edgeBlank, "spaces around cells removed")
	say(hasUnits(plain), "units taken off numbers")
	say(endsInSeparators(plain), "separators at the end of lines removed")
	say(len(plain) > 0 && plain[len(plain)-1] != '\n', "line end added to the last line")
	if len(changes) == 0 || !bytes.Equal(bytes.TrimSpace(plain), bytes.TrimSpace(canonical)) {
		firstOld, _, _ := bytes.Cut(plain, []byte{'\n'})
		firstOld = bytes.TrimRight(firstOld, ",")
		firstNew, _, _ := bytes.Cut(canonical, []byte{'\n'})
		say(!semicolons(plain) && !sameCells(firstOld, firstNew), "columns renamed or put in order")
		say(len(changes) == 0, "rows put in order, or numbers rounded to their decimals")
	}
	return changes
}

// sameCells reports whether two headers name the same columns in the same order.
func sameCells(a, b []byte) bool {
	return slices.EqualFunc(bytes.Split(a, []byte{','}), bytes.Split(b, []byte{','}), func(x, y []byte) bool {
		return bytes.Equal(bytes.Trim(x, blanks), bytes.Trim(y, blanks))
	})
}

// blanksIn reports whether a table has lines without a cell that says something, and
// cells with blanks at their edges.
func blanksIn(text []byte) (line, edge bool) {
	for row := range bytes.Lines(text) {
		bare, ended := bytes.CutSuffix(row, []byte{'\n'})
		line = line || ended && len(bytes.Trim(bare, " \t,;")) == 0
	}
	rows, _ := cellsOf(text)
	for _, row := range rows {
		for _, cell := range row {
			edge = edge || strings.Trim(cell, blanks) != cell
		}
	}
	return line, edge
}
