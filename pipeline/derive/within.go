package derive

import (
	"slices"
	"sync"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/crew"
	"soletrial/pipeline/trial"
)

// Rows are the rows that one session has in sessions.csv where it has no estimates to
// date, which depend on other sessions.
type Rows struct {
	Text  []byte
	Slots []Slot // in the order of the text
}

// Slot is a place in [Rows] where the cells of the estimate to date are, and of what.
type Slot struct {
	At              int // offset in the text
	Outcome         int
	Level           string
	Shoe, Reference string
}

// sessionsTable writes the comparisons within each session, with the estimates to
// date: in pieces where only the tables are wanted. Where everything is, it keeps the
// comparisons, too.
func sessionsTable(study *compare.Study, by Means) (table Table, kept []compare.SessionComparison) {
	headings := newCSV(append(append([]string{"session", "date"}, comparisonHeadings...), "to_date", "to_date_low", "to_date_high")...).text
	table = Table{Name: "sessions.csv"}
	n := len(study.Sessions())
	if by.Want == Everything {
		lists := make([][]compare.SessionComparison, n)
		table.Text = headings
		for text := range crew.InOrder(by.Workers, n, func(i int) []byte {
			lists[i] = study.Within(i)
			return rowsOf(study, lists[i]).filled(new([]byte), study, i)
		}) {
			table.Text = append(table.Text, text...)
		}
		return table, slices.Concat(lists...)
	}
	table.Pieces = func(yield func([]byte) bool) {
		if !yield(headings) {
			return
		}
		desks := sync.Pool{New: func() any { return new(desk) }}
		for d := range crew.InOrder(by.Workers, n, func(i int) *desk {
			d := desks.Get().(*desk)
			d.text = d.within(study, i, by).filled(&d.filled, study, i)
			return d
		}) {
			if !yield(d.text) {
				return
			}
			desks.Put(d)
		}
	}
	return table, nil
}

// desk is where one session's rows are made, and the room that takes, for one session
// after the other.
type desk struct{ text, remembered, filled []byte }

// within makes or remembers the rows of session i.
func (d *desk) within(study *compare.Study, i int, by Means) Rows {
	fresh := func() Rows { return rowsOf(study, study.Within(i)) }
	if by.Rows == nil {
		return fresh()
	}
	return by.Rows(study.Basis(i), &d.remembered, fresh)
}

// toDateCells are the cells of an estimate to date that is not there.
const toDateCells = ",,,"

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
		}
		w.text = append(w.text, toDateCells...)
		w.end()
	}
	rows.Text = w.text
	return rows
}

// filled returns the rows, which are of session i, with the estimates to date in
// their slots: the text itself where there are none, else another one in room.
func (rows Rows) filled(room *[]byte, study *compare.Study, i int) []byte {
	if !study.OnPath(i) {
		return rows.Text
	}
	w, from := csvText{text: (*room)[:0]}, 0
	for _, slot := range rows.Slots {
		w.text = append(w.text, rows.Text[from:slot.At]...)
		from = slot.At + len(toDateCells)
		var d compare.SessionComparison
		d.Outcome, d.Level, d.Shoe, d.Reference = trial.Outcome(slot.Outcome), slot.Level, slot.Shoe, slot.Reference
		study.ToDate(i, &d)
		w.open = true
		w.num(d.ToDate, 4)
		w.num(d.ToDateLow, 4)
		w.num(d.ToDateHigh, 4)
	}
	*room = append(w.text, rows.Text[from:]...)
	return *room
}
