package cli

import (
	"cmp"
	"fmt"
	"slices"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/forecast"
	"soletrial/pipeline/recommend"
	"soletrial/pipeline/units"
)

// printChoice shows what may matter in each shoe, which no other beats, and what
// each costs over the dataset's races.
func (a *app) printChoice(result *derive.Result) {
	advice, ok := recommend.Run(result)
	if !ok {
		return
	}
	label := compare.Labels(result.Dataset)
	a.Printf("\nwhat may matter in each shoe, fastest first\n")
	a.Printf("  %-14s %staken together\n", "shoe", matters(&advice, nil))
	for i := range advice.Candidates {
		c := &advice.Candidates[i]
		facts := matters(&advice, c)
		for j, line := range voice.Wrap(c.Standing(label), voice.LineWidth-17-len(facts)) {
			if j == 0 {
				a.Printf("  %-14s %s%s\n", voice.Shorten(label(c.Shoe), 14), facts, line)
			} else {
				a.Printf("%*s%s\n", 17+len(facts), "", line)
			}
		}
	}
	for i, race := range advice.Races {
		a.Printf("%s in %s (%s): cost against %s\n", forecast.DistanceText(race.DistanceM),
			units.FormatClock(race.TimeS), label(advice.Reference), label(advice.Fastest))
		for _, c := range advice.Candidates[1:] {
			alike := ""
			if c.NoClearDifference {
				alike = "  cannot be told apart"
			}
			a.Printf("  %-14s %-18s (%s)%s\n", voice.Shorten(label(c.Shoe), 14),
				clockSpan(c.Costs[i].Min, c.Costs[i].Max, "not known"), clockSpan(c.Costs[i].Low, c.Costs[i].High,
					"no interval"), alike)
		}
	}
	for _, sentence := range advice.Sentences(label) {
		a.PrintHanging("", sentence)
	}
}

// matters is the columns of what may matter in a shoe beside speed, or their headings
// for nil: what is left of its wear where that is judged, else what was worn, and the
// price where prices are.
func matters(advice *recommend.Advice, c *recommend.Candidate) string {
	headings := c == nil
	if headings {
		c = &recommend.Candidate{}
	}
	text := ""
	add := func(heading, cell string) {
		if headings {
			cell = heading
		}
		text += fmt.Sprintf("%-8s ", cell)
	}
	add("comfort", measured(c.ComfortMm, "mm"))
	add("weight", measured(c.MassG, "g"))
	if slices.Contains(advice.Criteria, recommend.Remaining) {
		add("left", measured(c.RemainingKm, "km"))
	} else {
		add("worn", measured(c.WornKm, "km"))
	}
	if slices.Contains(advice.Criteria, recommend.Price) {
		add("price", cmp.Or(advice.PriceText(c), "-"))
	}
	return text
}

// measured writes a number with its unit, a dash where it is not known.
func measured(x float64, unit string) string {
	if !units.Known(x) {
		return "-"
	}
	return units.FormatDecimal(x, 0) + " " + unit
}

type candidateJSON struct {
	Shoe      string      `json:"shoe"`
	ComfortMm *float64    `json:"comfort_mm,omitempty"`
	MassG     *float64    `json:"mass_g,omitempty"`
	WornKm    *float64    `json:"worn_km,omitempty"`
	LeftKm    *float64    `json:"left_km,omitempty"`
	Price     *float64    `json:"price,omitempty"`
	Alike     bool        `json:"alike_in_time"`
	BeatenBy  []string    `json:"beaten_by"`
	Costs     []rangeJSON `json:"time_cost_s"`
}

// choiceJSON is the same for programs; nil where there is none.
func choiceJSON(result *derive.Result) any {
	advice, ok := recommend.Run(result)
	if !ok {
		return nil
	}
	var races, candidates []any
	for _, race := range advice.Races {
		races = append(races, map[string]any{"distance_m": race.DistanceM, "base_time_s": race.TimeS})
	}
	for i := range advice.Candidates {
		c := &advice.Candidates[i]
		one := candidateJSON{Shoe: c.Shoe, ComfortMm: voice.JSONNumber(c.ComfortMm),
			MassG: voice.JSONNumber(c.MassG), WornKm: voice.JSONNumber(c.WornKm), LeftKm: voice.JSONNumber(
				c.RemainingKm), Price: voice.JSONNumber(c.Price), Alike: c.NoClearDifference, BeatenBy: append(
				[]string{}, c.DominatedBy...), Costs: []rangeJSON{}}
		for _, cost := range c.Costs {
			one.Costs = append(one.Costs, asRange(cost))
		}
		candidates = append(candidates, one)
	}
	return map[string]any{
		"level": advice.Level, "reference": advice.Reference, "fastest": advice.Fastest,
		"judged_by": advice.Criteria, "currency": advice.Currency, "races": races,
		"unbeaten": append([]string{}, advice.NotDominated()...), "shoes": candidates,
		"sentences": advice.Sentences(compare.Labels(result.Dataset)),
	}
}
