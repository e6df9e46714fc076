package view

import (
	"strconv"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/english"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// maxSticky is the number of shoes up to which the figure stays in sight while a control
// moves; a higher one would leave no room for the control.
const maxSticky = 6

// figureSection has the answer as a figure for each effort, and in numbers; size says in words by
// how much.
func figureSection(m *app.Model, size string) *tree.Node {
	part := tree.El("div class=answer-figure").Keyed("figure")
	shown := shownStandings(m)
	if len(m.Dataset.Shoes) <= maxSticky || len(shown) > 0 && len(shown[0].Shoes) <= maxSticky {
		part = tree.El("div").Class("answer-figure sticky").Keyed("figure")
	}
	if len(shown) == 0 {
		return part.Add(tree.El("p").AddText("No two shoes can be compared. "+nothingLeft(m)), lostStanding(m))
	}
	rest := tree.El("div class=answer-numbers").Keyed("numbers")
	if size != "" {
		rest.Add(tree.El("p").Keyed("size").AddText(size))
	}
	for i, s := range shown {
		switch {
		case i == 0 && m.Choice().Effort == "" && s.Effort != m.Question(): // the answer's own figure has no shoes left
			part.Add(lostStanding(m))
			rest.Add(standing(m, i))
		case i == 0:
			part.Add(standing(m, i))
		default:
			rest.Add(standing(m, i))
		}
		rest.Add(numbers(m, s, i))
	}
	return tree.El("div class=answer").Keyed("answer").Add(part, rest)
}

// lostStanding is the published answer where nothing is left of it, in the place and the size
// of the reader's, so that the control below does not move; nil where there is none.
func lostStanding(m *app.Model) *tree.Node {
	for _, s := range m.PublishedStandings() {
		if s.Effort != m.Question() || len(s.Shoes) == 0 {
			continue
		}
		none := figure.Estimate{Value: units.Missing, Low: units.Missing, High: units.Missing}
		f := figure.Ranking{
			Head: figure.Head{ID: "lost", Title: english.Capitalise(s.Outcome.Info().Label) + " at " +
				s.Effort.Same() + ": nothing left, the published answer for comparison"},
			Axis: axisLabel(m, s), Unit: "%", Decimals: answer.PercentDecimals,
			Alternatives: []string{"small and hollow: published"},
		}
		for _, place := range s.Shoes {
			f.Rows = append(f.Rows, figure.RankingRow{Label: m.ShoeLabel(place.Shoe), Shoe: m.ShoeIndex(place.Shoe),
				Reference: place.Reference, Estimate: none, Alternatives: []figure.Estimate{place.Against}})
		}
		return tree.El("figure").Keyed("lost").Add(
			tree.El("figcaption").AddText(f.Title), tree.El("div").SetFigure(f.SVG(m.Width)))
	}
	return nil
}

// shownStandings are the answers that have shoes.
func shownStandings(m *app.Model) (shown []app.Standing) {
	for _, s := range m.Standings() {
		if len(s.Shoes) > 0 {
			shown = append(shown, s)
		}
	}
	return shown
}

// standing shows one answer as a figure.
func standing(m *app.Model, i int) *tree.Node {
	f := answerFigure(m, i)
	return tree.El("figure").Keyed("ranking "+strconv.Itoa(i)).Add(
		tree.El("figcaption").AddText(f.Title), tree.El("div").SetFigure(f.SVG(m.Width)))
}

// answerFigure is the figure of one answer: the reader's, with the published one and the saved
// views as alternatives.
func answerFigure(m *app.Model, i int) figure.Ranking {
	s := shownStandings(m)[i]
	f := figure.Ranking{
		Head: figure.Head{ID: rankingID + strconv.Itoa(i), Title: standingTitle(m, s),
			Desc: "The same numbers are in the table below."},
		Axis: axisLabel(m, s), Unit: "%", Decimals: answer.PercentDecimals,
	}
	beside := alternatives(m, s)
	for _, g := range beside {
		f.Alternatives = append(f.Alternatives, g.name)
	}
	for _, place := range s.Shoes {
		row := figure.RankingRow{
			Label: m.ShoeLabel(place.Shoe), Shoe: m.ShoeIndex(place.Shoe), Reference: place.Reference,
			Estimate: place.Against,
		}
		for _, g := range beside {
			row.Alternatives = append(row.Alternatives, g.of(place.Shoe))
		}
		f.Rows = append(f.Rows, row)
	}
	return f
}

// alternative is what the figure shows beside the reader's own answer.
type alternative struct {
	name     string
	standing *app.Standing
}

func (g alternative) of(shoe string) figure.Estimate {
	if g.standing != nil {
		if place := g.standing.Shoe(shoe); place != nil {
			return place.Against
		}
	}
	return figure.Estimate{Value: units.Missing, Low: units.Missing, High: units.Missing}
}

// alternatives are the published answer, where something is changed, and the saved views chosen.
func alternatives(m *app.Model, s app.Standing) (list []alternative) {
	add := func(name string, of []app.Standing) {
		if other := sameStanding(of, s); other != nil && other.Outcome == s.Outcome {
			list = append(list, alternative{name, other})
		}
	}
	if m.Yours() != m.Published() {
		add("small and hollow: published", m.PublishedStandings())
	}
	for _, name := range m.Beside() {
		add("saved view: "+figure.Visible(name), m.BesideStandings(name))
	}
	return list
}

// sameStanding finds the answer at the same effort that has the same first shoe in it; nil for
// none.
func sameStanding(list []app.Standing, s app.Standing) *app.Standing {
	for i := range list {
		if list[i].Effort == s.Effort && len(s.Shoes) > 0 && list[i].Shoe(s.Shoes[0].Shoe) != nil {
			return &list[i]
		}
	}
	return nil
}

func standingTitle(m *app.Model, s app.Standing) string {
	title := english.Capitalise(s.Outcome.Info().Label) + " at " + s.Effort.Same()
	if m.Yours() != m.Published() {
		return title + ", your version"
	}
	return title + ", as published"
}

// axisLabel says what is compared with what, and which side is the better one.
func axisLabel(m *app.Model, s app.Standing) string {
	reference := ""
	for _, place := range s.Shoes {
		if place.Reference {
			reference = m.ShoeLabel(place.Shoe)
		}
	}
	if s.Outcome == trial.Heart {
		return "% lower than " + reference + ": right is easier"
	}
	return "% faster than " + reference + ": right is faster"
}

// numbers are one answer in numbers, old and new where something is changed.
func numbers(m *app.Model, s app.Standing, i int) *tree.Node {
	best, published := "Chance of being the fastest", (*app.Standing)(nil)
	if s.Outcome == trial.Heart {
		best = "Chance of the lowest heart rate"
	}
	if m.Yours() != m.Published() {
		published = sameStanding(m.PublishedStandings(), s)
	}
	body := tree.El("tbody")
	for _, place := range s.Shoes {
		var was *app.ShoeStanding
		if published != nil && published.Outcome == s.Outcome {
			was = published.Shoe(place.Shoe)
		}
		difference, chance := differenceText(place), answer.Chance(place.Best)
		if was != nil {
			difference, chance = oldNew(differenceText(*was), difference), oldNew(answer.Chance(was.Best), chance)
		}
		body.Add(tree.El("tr").Keyed(place.Shoe).Add(
			tree.El("th scope=row").Add(swatch(m, place.Shoe), tree.Text(m.ShoeLabel(place.Shoe))),
			tree.El("td class=difference").AddText(difference), tree.El("td class=chance").AddText(chance)))
	}
	table := tree.El("table class=answer-table").Set("id", "answer-table-"+strconv.Itoa(i)).Add(
		caption("In numbers"), headings("Shoe", "Difference", best), body)
	save := saveButtons(rankingID+strconv.Itoa(i), standingTitle(m, s))
	// Its key must not change with the title, or the whole table would be made anew.
	scroll := scrollable("Numbers: "+standingTitle(m, s), table).Keyed("scroll")
	return tree.El("div").Keyed("numbers "+strconv.Itoa(i)).Add(scroll, save)
}

// oldNew prints what changed: the published number, an arrow, the reader's.
func oldNew(old, now string) string {
	if old == now {
		return now
	}
	return old + " → " + now
}

func differenceText(place app.ShoeStanding) string {
	if place.Reference {
		return "reference"
	}
	return place.Against.Words(answer.PercentDecimals, "%")
}
