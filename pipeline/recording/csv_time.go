package recording

import (
	"fmt"
	"strings"
	"time"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// times is a time column once it is understood: seconds for every row, missing
// where the cell is blank, counted from origin. The origin is zero where the
// column does not say on which day or in which zone it counts.
type times struct {
	seconds []float64
	origin  time.Time
	local   time.Time // in place of origin: the first time, where the column tells the day but not the zone
	said    string    // what was converted, for people
}

// placeInTime reads the time columns, drops the rows without a time and returns
// the others.
func (imp *Import) placeInTime(t *table, rows []row) ([]row, error) {
	// Rows without a time, or far from all others, are dropped.
	elapsed, err := t.readTimes(*t.elapsed, rows, func(r *row) string { return r.Elapsed.text }, imp)
	if err != nil {
		return nil, err
	}
	kept := rows[:0]
	for i := range rows {
		if units.Known(elapsed.seconds[i]) {
			kept = append(kept, rows[i])
			imp.Samples.Elapsed = append(imp.Samples.Elapsed, elapsed.seconds[i])
		}
	}
	if dropped := len(elapsed.seconds) - len(kept); dropped > 0 {
		imp.drop("%d rows without a time", dropped)
	}
	elapsed, kept, err = imp.dropOutlierRows(t, elapsed, kept)
	if err != nil {
		return nil, err
	}
	if len(kept) == 0 {
		hint := "map another column, such as --map elapsed_s=COLUMN"
		if t.form {
			hint = "choose another column for the time"
		}
		return nil, t.fail(t.headLine, t.elapsed.index, fmt.Sprintf("column %q has no time", t.elapsed.text), hint)
	}
	// Note where the time is from, and when the recording began.
	imp.Sources = append(imp.Sources,
		Source{Column: trial.ElapsedColumn, From: t.elapsed.from(), Conversion: elapsed.said, Values: len(kept)})
	imp.Start, imp.Local = elapsed.origin, elapsed.local
	if t.clock != nil && imp.Start.IsZero() && imp.Local.IsZero() {
		imp.startFromClock(t, kept)
	}
	return kept, nil
}

// dropOutlierRows leaves out the rows whose time cannot be right, and moves the
// zero of the clock to the first row that is left when that was not the first.
func (imp *Import) dropOutlierRows(t *table, clock times, rows []row) (times, []row, error) {
	s := imp.Samples
	outlier, n := timeOutliers(s.Elapsed)
	if message := imp.judgeOutliers(n, s.Elapsed); message != "" {
		return clock, nil, t.fail(t.headLine, t.elapsed.index, message, outlierHint)
	}
	if n == 0 {
		return clock, rows, nil
	}
	moved := outlier[0]
	rows, s.Elapsed = without(rows, outlier), without(s.Elapsed, outlier)
	if zero := s.Elapsed[0]; moved {
		for i := range s.Elapsed {
			s.Elapsed[i] -= zero
		}
		clock = clock.later(duration(zero))
	}
	return clock, rows, nil
}

// startFromClock takes the day and hour from a second column of time. A column
// that cannot be read as a time is left alone: it was never asked for.
func (imp *Import) startFromClock(t *table, rows []row) {
	clock, err := t.readTimes(*t.clock, rows, func(r *row) string { return r.Clock.text }, imp)
	if err != nil {
		return
	}
	for i, s := range clock.seconds {
		if units.Known(s) {
			clock = clock.later(duration(s - imp.Samples.Elapsed[i]))
			imp.Start, imp.Local = clock.origin, clock.local
			return
		}
	}
}

// later moves what is known of the origin.
func (t times) later(by time.Duration) times {
	if !t.origin.IsZero() {
		t.origin = t.origin.Add(by)
	}
	if !t.local.IsZero() {
		t.local = t.local.Add(by)
	}
	return t
}

func duration(seconds float64) time.Duration {
	return time.Duration(units.Round(seconds, 3) * float64(time.Second))
}

// readTimes reads a column as dates, as minutes and seconds, or as numbers,
// whichever its first value is.
func (t *table) readTimes(h heading, rows []row, text func(*row) string, imp *Import) (times, error) {
	// The first value says how all are written.
	first := ""
	for i := range rows {
		if first = strings.TrimSpace(text(&rows[i])); !missingWord(first) {
			break
		}
	}
	var read func(string) (float64, bool)
	dates := newDateReader(first)
	switch {
	case dates != nil:
		read = dates.seconds
	case strings.Contains(first, ":"):
		read = colonSeconds
	default:
		read = func(s string) (float64, bool) { return foreignNumber(s, t.decimalComma()) }
	}
	// Read each with it; a blank stays missing.
	out := times{seconds: make([]float64, len(rows))}
	for i := range rows {
		s := strings.TrimSpace(text(&rows[i]))
		if out.seconds[i] = units.Missing; missingWord(s) {
			continue
		}
		v, ok := read(s)
		if !ok {
			return out, t.badTime(rows[i].Line, h, s)
		}
		out.seconds[i] = v
	}
	// Count from the first, or from the midnight or date that it states.
	switch {
	case dates != nil:
		dates.finish(&out, h, imp)
	case strings.Contains(first, ":"):
		finishColons(&out)
	default:
		finishNumbers(&out, h, imp)
	}
	return out, nil
}

// badCell is the error for a cell that is no number.
func (t *table) badCell(line int, h heading, text string) *Error {
	message, hint := fmt.Sprintf("%q in column %q is not a number", text, h.text),
		"correct it, or leave the cell blank where nothing was measured"
	if strings.Contains(text, ",") && !t.decimalComma() {
		message, hint = message+": it has a decimal comma, but commas separate the cells", "write a decimal point"
	}
	return t.fail(line, h.index, message, hint)
}

// badTime is the error for a cell that is no time.
func (t *table) badTime(line int, h heading, text string) *Error {
	return t.fail(line, h.index, fmt.Sprintf("%q in column %q is not a time as in the rows above", text, h.text),
		"times are seconds, h:mm:ss, dates such as 2026-05-01T17:30:00Z, or seconds or milliseconds since 1970")
}
