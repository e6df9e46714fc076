package recording

import (
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

// combineHeadings makes one row of headings of two: the row of words above the headings (nil
// without one), or that under them, names the columns that the headings do not, and tells
// apart those that have the same name: "power" over "foot" becomes "power (foot)".
func (t *table) combineHeadings(above []string, o Options) {
	if above == nil && t.unitRow == nil {
		return
	}
	units := make([]string, len(t.headings))
	copy(units, t.unitRow)
	cell := func(row []string, i int) string {
		if i < len(row) {
			return strings.TrimSpace(row[i])
		}
		return ""
	}
	named := func(text string) bool { return headingScore(text, o) > 0 && !isUnit(text) }
	// The row that names a column.
	for i, text := range t.headings {
		switch over, under := cell(above, i), cell(units, i); {
		case named(text):
		case named(over):
			t.headings[i], units[i] = over, text
		case named(under):
			t.headings[i], units[i] = under, ""
		}
		switch over := cell(above, i); {
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
		over, under := cell(above, i), cell(units, i)
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
