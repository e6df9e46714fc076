package report

import (
	"math"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/plan"
	"soletrial/pipeline/randomise"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Planned is a session that was planned, and what was written for it.
type Planned struct {
	Session            *trial.Session
	Venue              *trial.Venue // nil where none is known
	Set                *randomise.Set
	Sheet              plan.Sheet
	Expected           *plan.Expectation // nil where nothing can be expected
	Seed               int64
	SheetFile, Workout string   // outside the dataset; "" where none was asked for
	Changed            []string // paths in the dataset
}

// PrintPlanned prints the sheet, how the order was drawn, and what to do next.
func PrintPlanned(console *voice.Console, p Planned) {
	// The sheet and what was written.
	console.Printf("%s", p.Sheet.Text())
	for _, path := range p.Changed {
		console.Remark("wrote %s", path)
	}
	for _, file := range []string{p.SheetFile, p.Workout} {
		if file != "" {
			console.Remark("wrote %s", file)
		}
	}
	printDraw(console, p)
	printExpected(console, p.Expected)
	// What to measure on the day, and what to do before.
	const why = "Without them the sensor's own error remains, and the data can hardly show that two shoes are " +
		"practically the same"
	if p.Venue == nil || !units.Known(p.Venue.LapM) {
		console.Remark("count the laps (or measure the metres) of every block, and write lap_m into venues.csv. " + why)
	} else {
		console.Remark("count the laps of every block. " + why)
	}
	console.Remark("commit it before the run: a reader can then check that it came first")
}

// printDraw says how the order was drawn, and what it does about getting tired.
func printDraw(console *voice.Console, p Planned) {
	draw, order := p.Session.Plan.Draw, p.Session.Plan.Order
	from := "all orders there are"
	if p.Set.Sampled {
		from = "a sample: there are too many to try all"
	}
	console.Remark("order %.0f of %d, drawn with seed %d; examined: %d, %s", draw.Place, len(p.Set.Orders),
		p.Seed, p.Set.Considered, from)
	if apart := units.FormatDecimal(randomise.Imbalance(order), 1); apart == "0.0" {
		console.Remark("each shoe's average place in the session is the same, so tiredness affects all shoes alike")
	} else {
		console.Remark("the average places of the shoes in the session are at most %s blocks apart; the analysis "+
			"corrects for tiredness", apart)
	}
	if math.IsInf(p.Set.Curved, 1) && len(draw.Earlier) == 0 {
		console.Remark("a slow first block or a hard last one can pass for a shoe here; " +
			"a second planned session rules that out")
	}
}

// printExpected says what answer to expect, and what to do for a better one; nothing where
// nothing is known.
func printExpected(console *voice.Console, x *plan.Expectation) {
	if x == nil {
		return
	}
	with := " alone"
	if x.Sessions > 0 {
		with = ", with the " + units.Count(x.Sessions, "session") + " so far"
	}
	console.Remark("after this session%s, expect to know a difference between two shoes to about ±%s %%; the "+
		"smallest that matters is %s %%", with, units.FormatDecimal(x.HalfWidthPct, 1),
		units.FormatDecimal(100*x.Outlook.Settings.Worthwhile, 2))
	if x.HalfWidthPct > plan.TooWidePct {
		console.Remark("warning: an answer is unlikely: shoes rarely differ by so much; plan more blocks, " +
			"or more sessions (`soletrial plan --advise`)")
	}
}

// PlannedAsJSON is the plan for programs.
func PlannedAsJSON(p Planned) any {
	halfWidth := units.Missing
	if p.Expected != nil {
		halfWidth = p.Expected.HalfWidthPct
	}
	return map[string]any{
		"half_width_pct": voice.JSONNumber(halfWidth),
		"session":        p.Session.ID, "order": p.Session.Plan.Order, "shoes": p.Session.Plan.Shoes, "seed": p.Seed,
		"place": p.Session.Plan.Draw.Place, "orders": len(p.Set.Orders), "considered": p.Set.Considered,
		"sampled": p.Set.Sampled, "places_apart": randomise.Imbalance(p.Session.Plan.Order), "sheet": p.SheetFile,
		"written": append([]string{}, p.Changed...),
	}
}
