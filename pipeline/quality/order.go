package quality

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// kept returns the blocks of a session that a person left in and that have a
// shoe.
func (c *sessionCheck) kept() []steady.Summary {
	var kept []steady.Summary
	for i, b := range c.blocks {
		if !c.session.Blocks[i].Excluded && b.Shoe != "" {
			kept = append(kept, b)
		}
	}
	return kept
}

// perShoe counts blocks by shoe.
func perShoe(blocks []steady.Summary) map[string]int {
	count := map[string]int{}
	for _, b := range blocks {
		count[b.Shoe]++
	}
	return count
}

func oneBlockPerShoe(c *sessionCheck) {
	kept := c.kept()
	shoes := perShoe(kept)
	if len(shoes) < 2 || len(kept) > len(shoes) {
		return
	}
	c.report(-1, trial.Finding{Severity: trial.Note, Value: 1, Limit: 2,
		Message: fmt.Sprintf("each of the %d shoes was run once", len(shoes)),
		Hint:    "this session alone gives no interval; repeat a shoe within the session next time"})
}

func orderConfounded(c *sessionCheck) {
	kept := c.kept()
	shoes := perShoe(kept)
	if len(shoes) < 2 || len(kept) == len(shoes) {
		return // one block per shoe has its own rule
	}
	if r := shoeTimeCorrelation(kept); r > c.limits.OrderCorrelation {
		var order []string
		for _, b := range kept {
			order = append(order, b.Shoe)
		}
		c.report(-1, trial.Finding{Severity: trial.Warn, Value: r, Limit: c.limits.OrderCorrelation,
			Message: fmt.Sprintf("the shoes follow the clock (correlation %s): %s", units.FormatDecimal(r, 2), strings.Join(order, " ")),
			Hint:    "a drift over the session cannot be told from the shoes; run the opposite order too"})
	}
}

// shoeTimeCorrelation returns the square root of the share of the spread of
// block places (1, 2, 3 ...) that lies between shoes: 0 when every shoe sits in
// the middle of the session on average, 1 when no shoe has a spread of its own.
func shoeTimeCorrelation(blocks []steady.Summary) float64 {
	place, count := map[string]float64{}, map[string]float64{}
	total, mean := 0.0, float64(len(blocks)+1)/2
	for i, b := range blocks {
		d := float64(i+1) - mean
		place[b.Shoe] += d
		count[b.Shoe]++
		total += float64(d * d)
	}
	between := 0.0
	for _, shoe := range sortedKeys(place) { // sums in a stated order
		between += float64(place[shoe] * place[shoe] / count[shoe])
	}
	return math.Sqrt(between / total)
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

func massMissing(c *datasetCheck) {
	run := perShoe(c.blocks)
	for _, shoe := range c.dataset.Shoes {
		if run[shoe.ID] > 0 && !units.Known(shoe.MassG) {
			c.report(trial.Finding{Severity: trial.Warn, Value: units.Missing, Limit: units.Missing, At: shoe.At,
				Message: fmt.Sprintf("shoe %q has no mass_g", shoe.ID),
				Hint:    "weigh both shoes of the pair as worn and write the mean into shoes.csv"})
		}
	}
}
