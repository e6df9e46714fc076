package recommend

import (
	"slices"
	"strings"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/english"
	"soletrial/pipeline/units"
)

// Sentences say the advice, for terminal and site. Label turns a shoe id into its
// name.
func (a *Advice) Sentences(label func(string) string) []string {
	lines := []string{a.winners(label)}
	for i := range a.Candidates {
		c := &a.Candidates[i]
		if len(c.SetAsideFor) > 0 {
			lines = append(lines, english.Capitalise(label(c.Shoe))+" is not among the choices: "+c.Standing(label)+".")
		}
	}
	return append(lines, a.lacking()...)
}

// winners says what each shoe is best at: "No single winner: Fennock is fastest, Tarrow most
// comfortable and cheapest."
func (a *Advice) winners(label func(string) string) string {
	var parts []string
	for i := range a.Candidates {
		if titles := a.titles(i); len(titles) > 0 {
			verb := " is "
			if len(parts) > 0 {
				verb = " "
			}
			parts = append(parts, label(a.Candidates[i].Shoe)+verb+english.List(titles, "and"))
		}
	}
	all := strings.Join(parts, ", ")
	choices := a.Choices()
	switch {
	case len(parts) == 0:
		return "No single winner: no shoe is better than the others in anything that is known."
	case len(parts) == 1 && len(choices) == 1:
		return "One choice: " + all + "."
	}
	return "No single winner: " + all + "."
}

// titles lists what a candidate is best at; a tie has no winner.
func (a *Advice) titles(i int) (titles []string) {
	c := &a.Candidates[i]
	if i == 0 {
		switch {
		case a.Status == decide.Fastest:
			titles = append(titles, "fastest")
		case a.Status == decide.Blocked || a.Status == decide.Same:
			// The answer names no fastest shoe.
		case units.Known(c.ChanceBest):
			titles = append(titles, answer.LikelyToBe(c.ChanceBest, "the fastest")+" ("+answer.Chance(c.ChanceBest)+")")
		}
	}
	for _, title := range []struct {
		criterion Criterion
		words     string
		of        func(*Candidate) float64 // more is better
	}{
		{Comfort, "most comfortable", func(c *Candidate) float64 { return c.ComfortMm }},
		{Weight, "lightest", func(c *Candidate) float64 { return -c.MassG }},
		{Remaining, "the one with most expected km left", func(c *Candidate) float64 { return c.RemainingKm }},
		{Wear, "least worn", func(c *Candidate) float64 { return -c.WornKm }},
		{Price, "cheapest", func(c *Candidate) float64 { return -c.Price }},
	} {
		if slices.Contains(a.Criteria, title.criterion) && a.isBest(i, title.of) {
			titles = append(titles, title.words)
		}
	}
	return titles
}

// isBest reports whether a candidate has more of something than every other of which it is
// known.
func (a *Advice) isBest(i int, of func(*Candidate) float64) bool {
	own := of(&a.Candidates[i])
	for j := range a.Candidates {
		if other := of(&a.Candidates[j]); j != i && units.Known(other) && !(own > other) {
			return false
		}
	}
	return units.Known(own)
}

// lacking says what a person may miss.
func (a *Advice) lacking() []string {
	if a.Currencies {
		return []string{"Prices are given in several currencies, so they are not compared."}
	}
	price, left := slices.Contains(a.Criteria, Price), slices.Contains(a.Criteria, Remaining)
	switch {
	case !price && !left:
		return []string{"Not in the tables: prices and expected km (price, currency and expected_km in shoes.csv)."}
	case !price:
		return []string{"Not in the tables: prices (price and currency in shoes.csv)."}
	case !left:
		return []string{"Not in the tables: expected km (expected_km in shoes.csv)."}
	}
	return nil
}

// Standing says why a candidate is set aside, or "" where it is not.
func (c *Candidate) Standing(label func(string) string) string {
	var reasons []string
	for _, b := range c.SetAsideFor {
		var on []string
		for _, criterion := range b.On {
			on = append(on, string(criterion))
		}
		reasons = append(reasons, label(b.Shoe)+" is better on "+english.List(on, "and"))
	}
	if len(reasons) == 0 {
		return ""
	}
	return strings.Join(reasons, "; ") + ", and no worse on the rest"
}

// PriceText writes a candidate's price with its currency, "139 EUR" or "139.90 EUR";
// "" where it is not known.
func (a *Advice) PriceText(c *Candidate) string { return PriceText(c.Price, a.Currency) }

// PriceText writes a price, with cents where there are some; "" for a missing one.
func PriceText(price float64, currency string) string {
	if !units.Known(price) {
		return ""
	}
	return strings.TrimSuffix(units.FormatDecimal(price, 2), ".00") + " " + currency
}
