package quality

import (
	"strconv"
	"strings"

	"soletrial/pipeline/english"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// runnersFile and venuesFile are where findings about these registers point.
var (
	runnersFile = trial.Position{File: "runners.csv"}
	venuesFile  = trial.Position{File: "venues.csv"}
)

// labelled is a row of a register with its name for people.
type labelled struct {
	id, label string
	at        trial.Position
}

func labelsAlike(c *datasetCheck) {
	var shoes, runners, venues []labelled
	for _, s := range c.dataset.Shoes {
		shoes = append(shoes, labelled{s.ID, s.Label, positionOr(s.At, shoesFile)})
	}
	for _, r := range c.dataset.Runners {
		runners = append(runners, labelled{r.ID, r.Label, runnersFile})
	}
	for _, v := range c.dataset.Venues {
		venues = append(venues, labelled{v.ID, v.Label, venuesFile})
	}
	for _, register := range []struct {
		name string
		rows []labelled
	}{{"shoes", shoes}, {"runners", runners}, {"venues", venues}} {
		// Letters that look the same count as the same.
		first := map[string]string{"": ""}
		for _, row := range register.rows {
			seen := foldLabel(row.label)
			other, taken := first[seen]
			switch {
			case seen == "":
			case taken:
				c.warn(row.at, "the "+register.name+" "+strconv.Quote(other)+" and "+strconv.Quote(row.id)+
					" have labels that look the same: "+strconv.Quote(row.label))
			default:
				first[seen] = row.id
			}
		}
	}
}

// warn warns of something that has no measure.
func (c *datasetCheck) warn(at trial.Position, message string) {
	c.say(at, trial.Warn, units.Missing, units.Missing, message)
}

func positionOr(at, otherwise trial.Position) trial.Position {
	if at.File == "" {
		return otherwise
	}
	return at
}

// foldLabel is a label as a reader takes it in: without what is not seen, capitals and the
// number of blanks.
func foldLabel(label string) string {
	seen := strings.Map(func(r rune) rune {
		switch {
		case r == '\u00a0':
			return ' '
		case english.Invisible(r):
			return -1
		}
		return r
	}, label)
	return strings.ToLower(strings.Join(strings.Fields(seen), " "))
}

// Dates within which a session can lie, and how many years the next one may be away.
const (
	firstDate, lastDate = "2000-01-01", "2099-12-31"
	yearsApart          = 5
)

func dateImplausible(c *datasetCheck) {
	sessions := c.dataset.Sessions
	for i := range sessions {
		s := &sessions[i]
		date := s.Facts.Date
		named, inName := dateInName(s.ID)
		switch {
		case date == "":
		case inName && named != date:
			c.warn(s.At, "the date is "+date+", but the folder is named "+strconv.Quote(s.ID))
		case date < firstDate || date > lastDate:
			c.warn(s.At, "the date is "+date+", outside the years 2000 to 2099")
		case len(sessions) > 1 && (i == 0 || farApart(sessions[i-1].Facts.Date, date)) &&
			(i == len(sessions)-1 || farApart(date, sessions[i+1].Facts.Date)):
			c.warn(s.At, "the date is "+date+", and no other session is within "+
				strconv.Itoa(yearsApart)+" years of it")
		}
	}
}

// dateInName returns the date, YYYY-MM-DD, that a session's name begins with.
func dateInName(id string) (date string, ok bool) {
	const form = "YYYY-MM-DD"
	if len(id) < len(form) {
		return "", false
	}
	for i := range form {
		digit := id[i] >= '0' && id[i] <= '9'
		if dash := form[i] == '-'; dash && id[i] != '-' || !dash && !digit {
			return "", false
		}
	}
	return id[:len(form)], len(id) == len(form) || id[len(form)] < '0' || id[len(form)] > '9'
}

// farApart reports whether two dates, YYYY-MM-DD, the earlier first, are more than
// [yearsApart] years apart. A date that is not known is not.
func farApart(earlier, later string) bool {
	year, err := strconv.Atoi(strings.SplitN(earlier, "-", 2)[0])
	if err != nil || later == "" {
		return false
	}
	return later > strconv.Itoa(year+yearsApart)+earlier[4:]
}

func cellFormula(c *datasetCheck) {
	say := func(at trial.Position, what, text string) {
		if len(text) > 1 && strings.IndexByte("=+-@", text[0]) >= 0 {
			c.say(at, trial.Note, units.Missing, units.Missing,
				"a spreadsheet would run "+what+" as a formula: "+strconv.Quote(text))
		}
	}
	for _, r := range c.dataset.Runners {
		say(runnersFile, "the label of "+strconv.Quote(r.ID), r.Label)
	}
	for _, s := range c.dataset.Shoes {
		at := positionOr(s.At, shoesFile)
		say(at, "the label of "+strconv.Quote(s.ID), s.Label)
		say(at, "plate of "+strconv.Quote(s.ID), s.Plate)
		say(at, "obtained of "+strconv.Quote(s.ID), s.Obtained)
		say(at, "the notes on "+strconv.Quote(s.ID), s.Notes)
	}
	for _, v := range c.dataset.Venues {
		say(venuesFile, "the label of "+strconv.Quote(v.ID), v.Label)
	}
	// The free text of the blocks.
	for i := range c.dataset.Sessions {
		s := &c.dataset.Sessions[i]
		for k := range s.Blocks {
			b := &s.Blocks[k]
			block := "block " + b.ID + " of " + strconv.Quote(s.ID)
			say(b.At, "the name of "+block, b.ID)
			say(b.At, "sensor of "+block, b.Sensor)
			say(b.At, "the reason of "+block, b.Reason)
			say(b.At, "the note on "+block, b.Note)
		}
	}
}
