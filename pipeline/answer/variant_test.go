package answer_test

import (
	"testing"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/trial"
)

// A session is called by its day, and by its id too where the day alone would not tell which.
func TestSessionsAreCalledByTheirDay(t *testing.T) {
	session := func(id, date string) trial.Session {
		return trial.Session{ID: id, Facts: trial.SessionFacts{Date: date}}
	}
	ds := &trial.Dataset{Sessions: []trial.Session{session("2026-03-07-power", "2026-03-07"),
		session("2026-04-25-a", "2026-04-25"), session("2026-04-25-b", "2026-04-25"),
		session("evening", "2026-05-02"), session("undated", "")}}
	for id, want := range map[string]string{
		"2026-03-07-power": "7 March 2026",
		"2026-04-25-a":     "25 April 2026 (2026-04-25-a)",
		"2026-04-25-b":     "25 April 2026 (2026-04-25-b)",
		"evening":          "2 May 2026 (evening)",
		"undated":          "undated",
		"of another":       "of another",
	} {
		if got := answer.SessionName(ds, id); got != want {
			t.Errorf("%s is called %q, want %q", id, got, want)
		}
	}
}
