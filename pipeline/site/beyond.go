package site

import (
	"soletrial/pipeline/figure"
	"soletrial/pipeline/recommend"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// beyondBody is what may matter in a shoe beside speed.
type beyondBody struct {
	Best  []bestBody
	Said  []string // the advice that goes with the chances
	Table table
}

// bestBody is the shoe that is first in one thing.
type bestBody struct {
	What, Value string
	Other       string // the value in the other unit
	Shoes       []shoe
}

// quality is one thing that may matter beside speed.
type criterion struct {
	best, heading string
	less          bool // less is better
	of            func(s *trial.Shoe) float64
	show          func(x float64, s *trial.Shoe) (value, other string)
}

// criteria lists them in the order they are told.
func (s *site) criteria(advice *recommend.Advice) []criterion {
	plain := func(unit string, decimals int) func(float64, *trial.Shoe) (string, string) {
		return func(x float64, _ *trial.Shoe) (string, string) { return bothUnits(x, decimals, unit) }
	}
	return []criterion{
		{"Most comfortable", "Comfort, 0 to 100", false, func(shoe *trial.Shoe) float64 {
			return s.comfort(advice, shoe.ID)
		}, func(x float64, _ *trial.Shoe) (string, string) { return quantity(x, 0, "of 100"), "" }},
		{"Lightest", "Mass of one shoe", true, func(shoe *trial.Shoe) float64 { return shoe.MassG },
			func(x float64, _ *trial.Shoe) (string, string) { return massBoth(x) }},
		{"Cheapest", "Price", true, func(shoe *trial.Shoe) float64 { return shoe.Price },
			func(x float64, shoe *trial.Shoe) (string, string) { return recommend.PriceText(x, shoe.Currency), "" }},
		{"Most km left", "Expected km left", false, func(shoe *trial.Shoe) float64 {
			return max(0, shoe.ExpectedKm-shoe.WornKm)
		}, plain("km", 0)},
	}
}

// beyond says which shoe is first in what else is known; nil where nothing is.
func (s *site) beyond(root string) *beyondBody {
	body := &beyondBody{}
	var known []criterion
	advice, ok := recommend.Run(s.result)
	if ok {
		for _, line := range advice.Sentences(s.speaker.Label) {
			body.Said = append(body.Said, nonBreaking(line))
		}
	}
	// Only what was noted of at least two shoes and differs between them.
	for _, c := range s.criteria(&advice) {
		if best, ok := s.best(c, root); ok {
			body.Best = append(body.Best, best)
			known = append(known, c)
		}
	}
	if len(known) == 0 {
		return nil
	}
	// All shoes by these.
	headings := []string{"Shoe"}
	for _, c := range known {
		headings = append(headings, "#"+c.heading)
	}
	body.Table = table{Caption: "Beyond speed, shoe by shoe", Head: columns(headings...), Cards: true}
	for i := range s.ds.Shoes {
		shoe := &s.ds.Shoes[i]
		row := []cell{shoeCell(s.shoe(shoe.ID, root))}
		for _, c := range known {
			row = append(row, s.criterionCell(c, shoe))
		}
		body.Table.Rows = append(body.Table.Rows, row)
	}
	return body
}

func (s *site) criterionCell(c criterion, shoe *trial.Shoe) cell {
	x := c.of(shoe)
	if !units.Known(x) {
		return numeric("not known")
	}
	value, other := c.show(x, shoe)
	return cell{Text: value, Other: other, Number: true}
}

// best finds the first shoe in one thing; false where fewer than two shoes are known, all are
// the same, or prices are in several currencies.
func (s *site) best(c criterion, root string) (bestBody, bool) {
	var leading []*trial.Shoe
	known, differ := 0, false
	for i := range s.ds.Shoes {
		shoe := &s.ds.Shoes[i]
		x := c.of(shoe)
		if !units.Known(x) {
			continue
		}
		known++
		if leading == nil {
			leading = []*trial.Shoe{shoe}
			continue
		}
		// Prices compare in one currency only.
		first := c.of(leading[0])
		if c.best == "Cheapest" && shoe.Currency != leading[0].Currency {
			return bestBody{}, false
		}
		switch better := x > first; {
		case x == first:
			leading = append(leading, shoe)
		case better != c.less:
			leading, differ = []*trial.Shoe{shoe}, true
		default:
			differ = true
		}
	}
	if known < 2 || !differ {
		return bestBody{}, false
	}
	value, other := c.show(c.of(leading[0]), leading[0])
	body := bestBody{What: c.best, Value: value, Other: other}
	for _, shoe := range leading {
		body.Shoes = append(body.Shoes, s.shoe(shoe.ID, root))
	}
	return body, true
}

// comfort is the mean of a shoe's included blocks on the scale, at the effort of the advice
// where there is one; missing where nobody was asked.
func (s *site) comfort(advice *recommend.Advice, shoe string) float64 {
	for i := range advice.Candidates {
		if c := &advice.Candidates[i]; c.Shoe == shoe {
			return c.ComfortMm
		}
	}
	return recommend.MeanComfort(s.result, shoe, "")
}

// bothUnits writes a quantity in its unit and in that of people who think in miles, "" where
// both are the same.
func bothUnits(x float64, decimals int, unit string) (value, other string) {
	value = quantity(x, decimals, unit)
	if conversion := units.Imperial(unit); value != "" && conversion.Unit != unit {
		other = quantity(conversion.Of(x), decimals, conversion.Unit)
	}
	return value, other
}

// massBoth writes a mass in grams and in ounces.
func massBoth(grams float64) (value, other string) {
	if !units.Known(grams) {
		return "not weighed", ""
	}
	return figure.Plain(grams, 0) + " g", figure.Plain(units.Ounces(grams), 1) + " oz"
}
