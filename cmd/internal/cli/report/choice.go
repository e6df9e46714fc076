package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/answer"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/forecast"
	"soletrial/pipeline/recommend"
	"soletrial/pipeline/units"
)

// printChoice shows what each shoe is best at, the numbers that may matter, and what each
// loses over the dataset's races.
func printChoice(console *voice.Console, result *derive.Result) {
	advice, ok := recommend.Run(result)
	if !ok {
		return
	}
	label := compare.Labels(result.Dataset)
	console.Printf("\nbeyond speed\n")
	console.Printf("  %-14s %s\n", "shoe", strings.TrimRight(matters(&advice, nil), " "))
	for i := range advice.Candidates {
		c := &advice.Candidates[i]
		console.Printf("  %-14s %s\n", voice.Shorten(label(c.Shoe), 14), strings.TrimRight(matters(&advice, c), " "))
	}
	for i, race := range advice.Races {
		console.Printf("%s in %s (%s): time lost against %s\n", forecast.DistanceText(race.DistanceM),
			units.FormatClock(race.TimeS), label(advice.Reference), label(advice.Fastest))
		for _, c := range advice.Candidates[1:] {
			console.Printf("  %-14s %-18s (%s)\n", voice.Shorten(label(c.Shoe), 14),
				clockSpan(c.Lost[i].Min, c.Lost[i].Max, "not known"), clockSpan(c.Lost[i].Low, c.Lost[i].High,
					"no interval"))
		}
	}
	for _, sentence := range advice.Sentences(label) {
		console.PrintHanging("", sentence)
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
		text += fmt.Sprintf("%-10s ", cell)
	}
	add("fastest", answer.Chance(c.ChanceBest))
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
	Shoe       string      `json:"shoe"`
	ChanceBest *float64    `json:"chance_best,omitempty"`
	ComfortMm  *float64    `json:"comfort_mm,omitempty"`
	MassG      *float64    `json:"mass_g,omitempty"`
	WornKm     *float64    `json:"worn_km,omitempty"`
	LeftKm     *float64    `json:"expected_km_left,omitempty"`
	Price      *float64    `json:"price,omitempty"`
	SetAside   []any       `json:"set_aside_for"`
	Lost       []rangeJSON `json:"time_lost_s"`
}

// choiceJSON is the same for programs; nil where there is none.
func choiceJSON(result *derive.Result) any {
	advice, ok := recommend.Run(result)
	if !ok {
		return nil
	}
	races, candidates := []any{}, []any{}
	for _, race := range advice.Races {
		races = append(races, map[string]any{"distance_m": race.DistanceM, "base_time_s": race.TimeS})
	}
	// The candidates, each with what others do better and what it costs in every race.
	for i := range advice.Candidates {
		c := &advice.Candidates[i]
		one := candidateJSON{Shoe: c.Shoe, ChanceBest: voice.JSONNumber(c.ChanceBest),
			ComfortMm: voice.JSONNumber(c.ComfortMm), MassG: voice.JSONNumber(c.MassG),
			WornKm: voice.JSONNumber(c.WornKm), LeftKm: voice.JSONNumber(c.RemainingKm),
			Price: voice.JSONNumber(c.Price), SetAside: []any{}, Lost: []rangeJSON{}}
		for _, b := range c.SetAsideFor {
			one.SetAside = append(one.SetAside, map[string]any{"shoe": b.Shoe, "better_on": b.On})
		}
		for _, lost := range c.Lost {
			one.Lost = append(one.Lost, asRange(lost))
		}
		candidates = append(candidates, one)
	}
	return map[string]any{
		"effort": advice.Effort, "reference": advice.Reference, "fastest": advice.Fastest,
		"judged_by": append([]recommend.Criterion{}, advice.Criteria...), "currency": advice.Currency, "races": races,
		"choices": append([]string{}, advice.Choices()...), "shoes": candidates,
		"sentences": advice.Sentences(compare.Labels(result.Dataset)),
	}
}
