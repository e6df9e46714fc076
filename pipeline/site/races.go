package site

import (
	"fmt"
	"slices"
	"strings"

	"soletrial/pipeline/derive"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/forecast"
	"soletrial/pipeline/units"
)

// raceBody is what the shoes are worth over one race.
type raceBody struct {
	Title         string
	Table, Curves table
	Outside       []string // what lies outside the evidence
}

// raceKey tells races apart: a dataset may forecast one distance from several
// base times.
type raceKey struct {
	distance, base float64
	reference      string
}

// races groups the forecast rows by race, in the order they come.
func (s *site) races(root string) []raceBody {
	var keys []raceKey
	rows := map[raceKey][]forecast.Row{}
	for _, row := range s.result.Forecasts {
		key := raceKey{row.DistanceM, row.BaseTimeS, row.Reference}
		if _, seen := rows[key]; !seen {
			keys = append(keys, key)
		}
		rows[key] = append(rows[key], row)
	}
	var bodies []raceBody
	for _, key := range keys {
		bodies = append(bodies, s.race(key, rows[key], root))
	}
	return bodies
}

func (s *site) race(key raceKey, rows []forecast.Row, root string) raceBody {
	title := fmt.Sprintf("%s, %s in %s", kilometres(key.distance), units.FormatClock(key.base), s.label(key.reference))
	body := raceBody{
		Title: title,
		Table: table{Caption: title + ": change of time", Head: columns("Shoe", "#Change of time, min:s",
			"#"+percentOf(s.ds.Facts.Method.Confidence)+" % interval, min:s", "In words")},
		Curves: table{Caption: title + ": by published curve", Head: columns("Shoe", "Cost-to-speed curve",
			"#Change of time, min:s", "#"+percentOf(s.ds.Facts.Method.Confidence)+" % interval, min:s")},
	}
	for _, name := range shoesOf(rows) {
		of := filterRows(rows, name)
		body.Table.Rows = append(body.Table.Rows, s.raceRow(name, key.reference, of, root))
		for _, row := range of {
			body.Curves.Rows = append(body.Curves.Rows, []cell{shoeCell(s.shoe(name, root)), text(row.Curve),
				numeric(clockChange(row.ChangeS)), numeric(clockSpan(row.LowS, row.HighS))})
		}
	}
	body.Outside = s.outside(rows)
	return body
}

// raceSurface is what races are taken to be run on: dataset.yaml does not say.
const raceSurface = "road"

// outside lists what about a race lies outside the evidence, in some shoe; where it
// is not all of them the shoes are named.
func (s *site) outside(rows []forecast.Row) []string {
	of := map[string][]string{}
	var words []string
	sources := derive.Sources(s.result, "")
	shoes := shoesOf(rows)
	for _, name := range shoes {
		at := slices.IndexFunc(sources, func(source derive.Source) bool { return source.Shoe == name })
		if at < 0 {
			continue
		}
		source := &sources[at]
		marks := slices.Concat(filterRows(rows, name)[0].Extrapolated, source.Setting(s.ds, raceSurface).Outside())
		for _, word := range forecast.OutsideWords(marks, source.TestSpeed, source.Kinds, raceSurface) {
			addNew(&words, word)
			of[word] = append(of[word], s.label(name))
		}
	}
	for i, word := range words {
		if len(of[word]) < len(shoes) {
			words[i] += " for " + strings.Join(of[word], ", ")
		}
	}
	return words
}

// raceRow sums up the curves of one shoe: the range of their answers, and the
// range of their intervals.
func (s *site) raceRow(name, reference string, rows []forecast.Row, root string) []cell {
	change := forecast.RangeOf(rows)
	all := figure.Estimate{Value: change.Min, Low: change.Low, High: change.High}
	return []cell{shoeCell(s.shoe(name, root)), numeric(clockSpan(change.Min, change.Max)),
		numeric(clockSpan(all.Low, all.High)), text(raceWords(all, s.label(reference)))}
}

// raceWords gives a direction only where the interval leaves zero out.
func raceWords(e figure.Estimate, reference string) string {
	switch {
	case !e.Bounded():
		return "no interval, so no direction"
	case !e.Apart():
		return "no clear difference from " + reference
	case e.High < 0:
		return "less time than " + reference
	}
	return "more time than " + reference
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

func shoesOf(rows []forecast.Row) []string {
	var names []string
	for _, row := range rows {
		if !slices.Contains(names, row.Shoe) {
			names = append(names, row.Shoe)
		}
	}
	return names
}

func filterRows(rows []forecast.Row, name string) []forecast.Row {
	return slices.DeleteFunc(slices.Clone(rows), func(r forecast.Row) bool { return r.Shoe != name })
}
