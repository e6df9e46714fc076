package recording

import (
	"math"
	"slices"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// suggestedRows is how many rows are examined for a suggestion.
const suggestedRows = 200

// mapHint is what to paste where a file's headings say too little: the --map flags
// that its values suggest, or how to write them where they suggest nothing.
func mapHint(suggestions []suggestion, example string) string {
	var parts []string
	for _, s := range suggestions {
		parts = append(parts, "--map "+s.key+"="+quoteArgument(s.heading))
	}
	if len(parts) == 0 {
		return "say which is which, such as --map " + example
	}
	return "if its values are what they look like, add " + strings.Join(parts, " ")
}

// suggestion is a column that its values suggest for a channel or the time.
type suggestion struct{ key, heading string }

// suggestions looks at the first rows: the first column that counts up steadily is the
// time, and what lies where only one channel of a runner lies is that channel. The
// ranges are those within which guessTable and trial.DefaultLimits tell units apart;
// a column that could be two things, or two that could be one, are not suggested.
func (t *table) suggestions() []suggestion {
	columns, colons := t.firstColumns()
	var list []suggestion
	used := map[int]bool{}
	if t.elapsed == nil {
		if i := t.timeColumn(columns, colons); i >= 0 {
			list, used[i] = append(list, suggestion{trial.ElapsedColumn, t.headings[i]}), true
		}
	} else {
		used[t.elapsed.index] = true
	}
	laps := t.numbersLaps() // whose speeds and distances look alike
	for _, r := range []struct {
		channel   trial.Channel
		low, high float64
		smooth    bool // changes little from row to row
	}{
		{trial.HeartRateBpm, 90, 200, true}, {trial.PowerW, 150, 450, false}, {trial.SpeedMps, 2, 6.5, false},
		{trial.StepLengthM, 0.7, 1.9, false},
	} {
		if laps && r.channel != trial.PowerW {
			continue
		}
		found := -1
		for i, values := range columns {
			mid := median(values)
			inRange := mid >= r.low && mid <= r.high
			if used[i] || colons[i] || countsUp(values) || !inRange || smooth(values) != r.smooth {
				continue
			}
			if found = i; t.channels[r.channel].text != "" {
				found = -1
				break
			}
			used[i] = true
			break
		}
		if found >= 0 {
			list = append(list, suggestion{r.channel.Info().Column, t.headings[found]})
		}
	}
	return list
}

// timeColumn is the first column that counts up steadily, but for one that numbers the
// laps; where the rows are laps, the first one of m:ss, which tells how long they are. It
// is -1 where there is none.
func (t *table) timeColumn(columns [][]float64, colons []bool) int {
	for i, values := range columns {
		if countsUp(values) && !isNamed(t.headings[i], lapWords) {
			return i
		}
	}
	if t.numbersLaps() {
		return slices.Index(colons, true)
	}
	return -1
}

// firstColumns are the numbers of the first rows by column, times of h:mm:ss in
// seconds, and which columns have such; a column with anything else has none.
func (t *table) firstColumns() (columns [][]float64, colons []bool) {
	// Read each cell as a number, a time or a date.
	columns, colons = make([][]float64, len(t.headings)), make([]bool, len(t.headings))
	broken := make([]bool, len(t.headings))
	for range suggestedRows {
		r, err := t.nextRow()
		if err != nil {
			break
		}
		// A column with one cell of another kind is none of them.
		for i := range columns {
			text := r.cells[i]
			v, ok := foreignNumber(text, t.decimalComma())
			if strings.Contains(text, ":") {
				v, ok = colonSeconds(text)
				colons[i] = colons[i] || ok
			}
			if date := newDateReader(strings.TrimSpace(text)); date != nil {
				v, ok = float64(date.first.Unix()), true
			}
			broken[i] = broken[i] || !ok && !missingWord(text)
			if ok {
				columns[i] = append(columns[i], v)
			}
		}
	}
	for i := range columns {
		if broken[i] {
			columns[i] = nil
		}
	}
	return columns, colons
}

// countsUp reports whether values rise from row to row by steps that are mostly the same.
func countsUp(values []float64) bool {
	if len(values) < 2 {
		return false
	}
	usual, same := usualStep(values), 0
	for i := 1; i < len(values); i++ {
		if values[i] < values[i-1] {
			return false
		}
		if math.Abs(values[i]-values[i-1]-usual) < 1e-9 {
			same++
		}
	}
	return usual > 0 && 2*same >= len(values)-1
}

// smooth reports whether whole numbers change by one from row to row at most, mostly.
func smooth(values []float64) bool {
	small := 0
	for i := 1; i < len(values); i++ {
		if math.Abs(values[i]-values[i-1]) <= 1 {
			small++
		}
	}
	for _, v := range values {
		if !units.Known(v) || v != math.Trunc(v) {
			return false
		}
	}
	return len(values) > 1 && 10*small >= 9*(len(values)-1)
}
