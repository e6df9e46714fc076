package recording

import (
	"slices"
	"strings"

	"soletrial/pipeline/trial"
)

// onlyUnits reports whether every cell that is not blank is a unit: "s", "W", "[bpm]".
func onlyUnits(cells []string) bool {
	found := false
	for _, text := range cells {
		if text = strings.TrimSpace(text); text == "" {
			continue
		}
		if !isUnit(text) {
			return false
		}
		found = true
	}
	return found
}

// isUnit reports whether text is a unit of time or of some channel.
func isUnit(text string) bool {
	bare := strings.Trim(text, "()[]")
	if _, ok := timeUnits[strings.ToLower(bare)]; ok {
		return true
	}
	for c := range trial.ChannelCount {
		if unitNamed(c, bare) != nil {
			return true
		}
	}
	return false
}

// isCut reports whether two cells, one above the other, are the two parts of one name:
// "Heart" over "rate (bpm)", "ground contact" over "time".
func isCut(first, second string) bool {
	if first == "" || second == "" || isUnit(second) {
		return false
	}
	name, _ := splitUnit(first + " " + second)
	if _, ok := channelCalled(name); ok {
		return true
	}
	return slices.Contains(elapsedWords, plain(name)) || slices.Contains(clockWords, plain(name))
}

// headingCell is the text of a column in a row, "" where the row has none.
func headingCell(row []string, i int) string {
	if i < len(row) {
		return strings.TrimSpace(row[i])
	}
	return ""
}

// joinCutNames puts names together that are cut over the headings and the row above or
// below them, and then takes units from a third row.
func (t *table) joinCutNames(above, units []string) {
	cutBelow := false
	for i, text := range t.headings {
		switch over, under := headingCell(above, i), headingCell(units, i); {
		case isCut(over, text):
			t.headings[i] = over + " " + text
		case isCut(text, under):
			t.headings[i], units[i], cutBelow = text+" "+under, "", true
		}
	}
	if cutBelow && len(t.pending) > 0 && onlyUnits(t.pending[0].cells) {
		copy(units, t.pending[0].cells)
		t.pending = t.pending[1:]
	}
}

// combineHeadings makes one row of headings of two: the row of words above the headings (nil
// without one), or that under them, names the columns that the headings do not, and tells
// apart those that have the same name: "power" over "foot" becomes "power (foot)". A name cut
// over both is put together.
func (t *table) combineHeadings(above []string, o Options) {
	if above == nil && t.unitRow == nil {
		return
	}
	units := make([]string, len(t.headings))
	copy(units, t.unitRow)
	named := func(text string) bool { return headingScore(text, o) > 0 && !isUnit(text) }
	t.joinCutNames(above, units)
	// The row that names a column.
	for i, text := range t.headings {
		switch over, under := headingCell(above, i), headingCell(units, i); {
		case named(text):
		case named(over):
			t.headings[i], units[i] = over, text
		case named(under):
			t.headings[i], units[i] = under, ""
		}
		switch over := headingCell(above, i); {
		case units[i] == t.headings[i]:
			units[i] = ""
		case units[i] == "" && isUnit(over):
			units[i] = over
		}
	}
	// Columns of the same name.
	count := map[string]int{}
	for _, text := range t.headings {
		count[text]++
	}
	for i, text := range t.headings {
		over, under := headingCell(above, i), headingCell(units, i)
		switch {
		case text == "" || count[text] < 2:
		case under != "" && !isUnit(under):
			t.headings[i], units[i] = text+" ("+under+")", ""
		case over != "" && over != text:
			t.headings[i] = text + " (" + over + ")"
		}
	}
	t.unitRow = units
}
