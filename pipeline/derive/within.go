package derive

import (
	"soletrial/pipeline/compare"
	"soletrial/pipeline/crew"
	"soletrial/pipeline/trial"
)

// Rows are the rows that one session has in sessions.csv, without the estimates to
// date, which depend on other sessions.
type Rows struct {
	Text  []byte
	Slots []Slot // in the order of the text
}

// Slot is a place in [Rows] where the estimate to date goes, and of what.
type Slot struct {
	At              int // offset in the text
	Outcome         int
	Level           string
	Shoe, Reference string
}

// batch is how many sessions' rows a worker makes before they are put into the
// table, so that not all of them are in memory twice.
const batch = 16

// sessionsTable writes the comparisons within each session, with the estimates to
// date. It keeps them, too, when everything is wanted.
func sessionsTable(study *compare.Study, by Means) (text []byte, kept []compare.SessionComparison) {
	w := newCSV(append(append([]string{"session", "date"}, comparisonHeadings...), "to_date", "to_date_low", "to_date_high")...)
	n := len(study.Sessions())
	step := batch * max(1, by.Workers)
	rows, lists := make([]Rows, step), make([][]compare.SessionComparison, step)
	for from := 0; from < n; from += step {
		here := min(step, n-from)
		crew.Do(by.Workers, here, func(i int) { rows[i], lists[i] = within(study, from+i, by) })
		if from == 0 { // about as much for each
			w.text = append(make([]byte, 0, roomFor(rows[:here], n)), w.text...)
		}
		for i := range here {
			w.filled(study, from+i, &rows[i])
			kept = append(kept, lists[i]...)
		}
	}
	return w.text, kept
}

// roomFor is about how many bytes n sessions take when some take as many as these.
func roomFor(rows []Rows, n int) int {
	bytes := 0
	for i := range rows {
		bytes += len(rows[i].Text) + 32*len(rows[i].Slots)
	}
	return bytes/len(rows)*n*9/8 + 1024
}

// within makes or remembers the rows of session i.
func within(study *compare.Study, i int, by Means) (Rows, []compare.SessionComparison) {
	if by.Want == Everything {
		list := study.Within(i)
		return rowsOf(study, list), list
	}
	fresh := func() Rows { return rowsOf(study, study.Within(i)) }
	if by.Rows == nil {
		return fresh(), nil
	}
	return by.Rows(study.Basis(i), fresh), nil
}

// rowsOf writes the comparisons within one session.
func rowsOf(study *compare.Study, list []compare.SessionComparison) Rows {
	w, rows := &csvText{}, Rows{}
	for k := range list {
		c := &list[k]
		w.str(c.Session)
		w.str(c.Date)
		comparisonCells(w, &c.Comparison)
		if c.Outcome == study.Deciding(c.Effort) {
			rows.Slots = append(rows.Slots, Slot{len(w.text), int(c.Outcome), c.Level, c.Shoe, c.Reference})
			w.open = false
			continue
		}
		w.text = append(w.text, ",,,"...)
		w.end()
	}
	rows.Text = w.text
	return rows
}

// filled appends the rows of session i with the estimates to date in their slots.
func (w *csvText) filled(study *compare.Study, i int, rows *Rows) {
	from := 0
	for _, slot := range rows.Slots {
		w.text = append(w.text, rows.Text[from:slot.At]...)
		from = slot.At
		var d compare.SessionComparison
		d.Outcome, d.Level, d.Shoe, d.Reference = trial.Outcome(slot.Outcome), slot.Level, slot.Shoe, slot.Reference
		study.ToDate(i, &d)
		w.open = true
		w.num(d.ToDate, 4)
		w.num(d.ToDateLow, 4)
		w.num(d.ToDateHigh, 4)
		w.end()
	}
	w.text = append(w.text, rows.Text[from:]...)
}
