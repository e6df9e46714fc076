package site

import (
	"slices"
	"strconv"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/forecast"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// raceBody is what the leading shoe is worth over races: those of the dataset, and the
// reader's own where scripts run.
type raceBody struct {
	Leader   string
	Distance string // of the race that is shown first, km
	Time     string
	Title    string
	Rows     []raceRow
	Races    []table // of the dataset
	Outside  []string
}

// raceRow is one shoe against the leader. The numbers in it are what the page's script
// carries to another race.
type raceRow struct {
	Shoe                   shoe
	Saved, Interval        string
	Mean, Low, High, Speed string // percent, and m/s
}

// race makes the section; nil where nothing can be told in time.
func (s *site) race(e *answer.Effort, g *answer.Group) *raceBody {
	if e.Outcome != trial.Speed || s.speaker.Race == nil {
		return nil
	}
	race := *s.speaker.Race
	body := &raceBody{Leader: s.speaker.Label(g.Places[0].Shoe), Distance: exact(race.DistanceM / 1000),
		Time: units.FormatClock(race.TimeS), Title: nonBreaking(answer.RaceName(race.DistanceM)) + " in " +
			units.FormatClock(race.TimeS),
		Outside: s.outside(e, g, race)}
	for _, p := range g.Places[1:] {
		d, t := p.Pair.D, s.speaker.RaceTime(e, p.Pair, race)
		body.Rows = append(body.Rows, raceRow{Shoe: s.shoe(p.Shoe, ""), Saved: clockChange(t.Mid),
			Interval: savedSpan(t), Mean: exact(decide.Percent(d.Mean)), Low: exact(decide.Percent(d.Low)),
			High: exact(decide.Percent(d.High)), Speed: exact(e.MeanSpeed(p.Pair.Reference))})
	}
	for _, r := range s.ds.Facts.Method.Races {
		if seconds, err := units.ParseDuration(r.Time); err == nil {
			body.Races = append(body.Races, s.raceTable(e, g, forecast.Race{DistanceM: r.DistanceM, TimeS: seconds}))
		}
	}
	return body
}

func raceTitle(race forecast.Race) string {
	return nonBreaking(forecast.DistanceText(race.DistanceM)) + " in " + units.FormatClock(race.TimeS)
}

// exact writes a number so that reading it gives the same number.
func exact(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

func savedSpan(t answer.RaceTime) string { return clockChange(t.Low) + " to " + clockChange(t.High) }

// raceTable is one race of the dataset, curve by curve in words.
func (s *site) raceTable(e *answer.Effort, g *answer.Group, race forecast.Race) table {
	leader := s.speaker.Label(g.Places[0].Shoe)
	t := table{Cards: true, Caption: raceTitle(race) + ": time that " + leader + " saves",
		Head: columns("Against", "#Saved, min", "#95 % interval, min", "#By the published curves, min")}
	for _, p := range g.Places[1:] {
		r := s.speaker.RaceTime(e, p.Pair, race)
		t.Rows = append(t.Rows, []cell{shoeCell(s.shoe(p.Shoe, "")), numeric(clockChange(r.Mid)), numeric(savedSpan(r)),
			numeric(clockSpan(r.Least, r.Most))})
	}
	return t
}

func clockSpan(low, high float64) string {
	switch {
	case !units.Known(low) || !units.Known(high):
		return figure.NoInterval
	case clockChange(low) == clockChange(high):
		return clockChange(low)
	}
	return clockChange(low) + " to " + clockChange(high)
}

// raceSurface is what races are taken to be run on: dataset.yaml does not say.
const raceSurface = "road"

// outside lists what about a race lies outside the evidence, in any shoe.
func (s *site) outside(e *answer.Effort, g *answer.Group, race forecast.Race) []string {
	var words []string
	sources := derive.Sources(s.result, "")
	for _, p := range g.Places {
		at := slices.IndexFunc(sources, func(source derive.Source) bool { return source.Shoe == p.Shoe })
		if at < 0 {
			continue
		}
		source := &sources[at]
		row := forecast.Rows(forecast.Effect{TestSpeed: e.MeanSpeed(p.Shoe)}, race)[0]
		marks := slices.Concat(row.Extrapolated, source.Setting(s.ds, raceSurface).Outside())
		for _, word := range forecast.OutsideWords(marks, source.TestSpeed, source.Kinds, raceSurface) {
			if word = nonBreaking(word); !slices.Contains(words, word) {
				words = append(words, word)
			}
		}
	}
	return words
}
