package recommend

import (
	"fmt"
	"slices"
	"strings"

	"soletrial/pipeline/english"
	"soletrial/pipeline/units"
)

// Sentences say the advice, for terminal and site. Label turns a shoe id into its
// name.
func (a *Advice) Sentences(label func(string) string) []string {
	var names []string
	for _, c := range a.Criteria {
		names = append(names, string(c))
	}
	unbeaten := a.NotDominated()
	lines := []string{fmt.Sprintf("Judged by %s, without weights and without a score: %s.", english.List(names, "and"),
		a.set(unbeaten, label))}
	if noClearDifference := a.noClearDifference(unbeaten, label); len(noClearDifference) > 0 {
		lines = append(lines,
			fmt.Sprintf("In time %s cannot be told apart from %s, so between them the other things decide.",
				english.List(noClearDifference, "and"), label(a.Fastest)))
	}
	return append(lines, a.lacking()...)
}

// lacking says what a person may miss.
func (a *Advice) lacking() []string {
	if a.Currencies {
		return []string{"Prices are given in several currencies, so they are not compared."}
	}
	price, left := slices.Contains(a.Criteria, Price), slices.Contains(a.Criteria, Remaining)
	switch {
	case !price && !left:
		return []string{"Prices and how much wear a pair has left are not in the tables (price, currency and expected_km " +
			"in shoes.csv)."}
	case !price:
		return []string{"Prices are not in the tables (price and currency in shoes.csv)."}
	case !left:
		return []string{"How much wear a pair has left is not in the tables (expected_km in shoes.csv)."}
	}
	return nil
}

func (a *Advice) set(unbeaten []string, label func(string) string) string {
	switch {
	case len(unbeaten) == 0:
		return "every shoe is beaten by another, in a circle of differences too small to order"
	case len(unbeaten) == 1:
		return "every shoe but " + label(unbeaten[0]) + " is beaten on everything by another"
	case len(unbeaten) == len(a.Candidates):
		return "no shoe beats another on everything"
	}
	return "no other shoe beats " + english.List(labelled(unbeaten, label), "and") +
		" on everything; which of them is for the person to say"
}

// noClearDifference names the unbeaten shoes that cannot be told apart from the fastest.
func (a *Advice) noClearDifference(unbeaten []string, label func(string) string) []string {
	var names []string
	for i := range a.Candidates {
		if c := &a.Candidates[i]; c.NoClearDifference && slices.Contains(unbeaten, c.Shoe) &&
			slices.Contains(unbeaten, a.Fastest) {
			names = append(names, label(c.Shoe))
		}
	}
	return names
}

// Standing says how one candidate stands to the others.
func (c *Candidate) Standing(label func(string) string) string {
	if len(c.DominatedBy) == 0 {
		return "no other beats it on everything"
	}
	return "beaten by " + english.List(labelled(c.DominatedBy, label), "and")
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

func labelled(ids []string, label func(string) string) []string {
	names := make([]string, len(ids))
	for i, id := range ids {
		names[i] = label(id)
	}
	return names
}
