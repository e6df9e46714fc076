package quality

import "soletrial/pipeline/trial"

var textCases = []ruleCase{
	{"labels-alike", "two shoes", func(w *fixture) { w.ds.Shoes[0].Label, w.ds.Shoes[1].Label = "Red", "Red" },
		trial.Warn, "", none, none},
	{"labels-alike", "but for a zero-width space and a mark of direction", func(w *fixture) {
		w.ds.Shoes[0].Label, w.ds.Shoes[1].Label = "Red 2", "\u200eRe\u200bd 2"
	}, trial.Warn, "", none, none},
	{"labels-alike", "but for blanks and capitals", func(w *fixture) {
		w.ds.Runners[0].Label, w.ds.Runners[1].Label = "The one", "the\u00a0 One"
	}, trial.Warn, "", none, none},
	{"labels-alike", "two venues", func(w *fixture) {
		w.ds.Venues = append(w.ds.Venues, trial.Venue{ID: "oval", Label: "Oval"}, trial.Venue{ID: "o2", Label: "oval"})
	}, trial.Warn, "", none, none},
	{"labels-alike", "an accent, and a number", func(w *fixture) {
		w.ds.Shoes[0].Label, w.ds.Shoes[1].Label, w.ds.Shoes[2].Label = "Rosé", "Rose", "Rose 2"
	}, "", "", none, none},
	{"labels-alike", "a shoe and a venue", func(w *fixture) {
		w.ds.Shoes[0].Label, w.ds.Venues[0].Label = "Oval", "Oval"
	}, "", "", none, none},
	{"date-implausible", "not the day in the name", func(w *fixture) {
		w.session().ID, w.facts().Date = "2026-03-07-power", "2026-03-17"
		w.other().Facts.Date = "2026-03-18"
	}, trial.Warn, "", none, none},
	{"date-implausible", "a clock that was never set", func(w *fixture) { w.facts().Date = "1999-12-31" }, trial.Warn,
		"", none, none},
	{"date-implausible", "two digits that changed places", func(w *fixture) { w.facts().Date = "2206-03-07" },
		trial.Warn, "", none, none},
	{"date-implausible", "5 years and a day after the other", func(w *fixture) {
		w.facts().Date, w.other().Facts.Date = "", "2031-03-08"
		w.ds.Sessions = append([]trial.Session{w.ds.Sessions[0]}, w.ds.Sessions[0], w.ds.Sessions[1])
		w.ds.Sessions[0].ID, w.ds.Sessions[0].Facts.Date, w.ds.Sessions[0].Blocks = "a", "2026-03-06", nil
		w.ds.Sessions[1].Facts.Date = "2026-03-07"
	}, trial.Warn, "", none, none},
	{"date-implausible", "5 years after the other", func(w *fixture) {
		w.facts().Date, w.other().Facts.Date = "2026-03-07", "2031-03-07"
	}, "", "", none, none},
	{"date-implausible", "the first and the last day that can be", func(w *fixture) {
		w.ds.Sessions = w.ds.Sessions[:1]
		w.facts().Date = "2000-01-01"
	}, "", "", none, none},
	{"date-implausible", "a name that is no date, and one of the same day", func(w *fixture) {
		w.session().ID, w.facts().Date = "2026-03-071", "2026-03-08"
		w.other().ID, w.other().Facts.Date = "2026-03-09", "2026-03-09"
	}, "", "", none, none},
	{"cell-formula", "a sum in the notes on a shoe", func(w *fixture) { w.ds.Shoes[2].Notes = "=1+1" }, trial.Note, "",
		none, none},
	{"cell-formula", "a label", func(w *fixture) { w.ds.Venues[0].Label = "@home" }, trial.Note, "", none, none},
	{"cell-formula", "a list in the note on a block", func(w *fixture) { w.block(1).Note = "- laces open" },
		trial.Note, "", none, none},
	{"cell-formula", "a runner", func(w *fixture) { w.ds.Runners[1].Label = "+2" }, trial.Note, "", none, none},
	{"cell-formula", "a dash alone, and signs further on", func(w *fixture) {
		w.ds.Shoes[0].Notes, w.block(0).Note, w.ds.Shoes[1].Label = "-", "felt 1 = 2", "Red+"
	}, "", "", none, none},
}
