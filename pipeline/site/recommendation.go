package site

import (
	"fmt"
	"slices"
	"strings"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/english"
	"soletrial/pipeline/recommend"
	"soletrial/pipeline/units"
)

// recommendationBody is what may matter in each shoe beside speed, and what it costs.
type recommendationBody struct {
	Sentences []string
	Table     table
}

// recommendation lays out the advice; nil where there is none.
func (s *site) recommendation(root string) *recommendationBody {
	advice, ok := recommend.Run(s.result)
	if !ok {
		return nil
	}
	body := &recommendationBody{Table: table{Caption: "What may matter, shoe by shoe, the fastest " +
		"at held " + strings.ReplaceAll(string(advice.Effort), "_", " ") + " first"}}
	for _, sentence := range advice.Sentences(s.label) {
		body.Sentences = append(body.Sentences, nonBreaking(sentence))
	}
	// A column for each race, then for what else is known.
	headings := []string{"Shoe", "#Chance to be the fastest"}
	for _, race := range advice.Races {
		headings = append(headings, fmt.Sprintf("#Lost over %s, %s in %s, min:s", kilometres(race.DistanceM),
			units.FormatClock(race.TimeS), s.label(advice.Reference)))
	}
	headings = append(headings, "#Comfort, 0 to 100 mm", "#Mass of one shoe", "#Worn before")
	if slices.Contains(advice.Criteria, recommend.Remaining) {
		headings = append(headings, "#Expected km left")
	}
	if slices.Contains(advice.Criteria, recommend.Price) {
		headings = append(headings, "#Price")
	}
	body.Table.Head = columns(append(headings, "Set aside")...)
	for i := range advice.Candidates {
		body.Table.Rows = append(body.Table.Rows, s.recommendationRow(&advice, &advice.Candidates[i], root))
	}
	return body
}

func (s *site) recommendationRow(advice *recommend.Advice, c *recommend.Candidate, root string) []cell {
	row := []cell{shoeCell(s.shoe(c.Shoe, root)), numeric(orUnknown(answer.Chance(c.ChanceBest)))}
	// The time lost over each race.
	for _, cost := range c.Lost {
		switch {
		case c.Shoe == advice.Fastest:
			row = append(row, numeric("fastest by estimate"))
			continue
		case !units.Known(cost.Min):
			row = append(row, numeric("never compared"))
			continue
		}
		cell := numeric(clockSpan(cost.Min, cost.Max))
		cell.Note = "(" + clockSpan(cost.Low, cost.High) + ")"
		row = append(row, cell)
	}
	row = append(row, numeric(orUnknown(quantity(c.ComfortMm, 0, "mm"))), numeric(mass(c.MassG)),
		numeric(orUnknown(quantity(c.WornKm, 0, "km"))))
	if slices.Contains(advice.Criteria, recommend.Remaining) {
		row = append(row, numeric(orUnknown(quantity(c.RemainingKm, 0, "km"))))
	}
	if slices.Contains(advice.Criteria, recommend.Price) {
		row = append(row, numeric(orUnknown(advice.PriceText(c))))
	}
	return append(row, text(english.Capitalise(c.Standing(s.label))))
}

func orUnknown(text string) string {
	if text == "" {
		return "not known"
	}
	return text
}
