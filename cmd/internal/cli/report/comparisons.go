package report

import (
	"fmt"

	"soletrial/cmd/internal/cli/history"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/answer"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/english"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// PrintRest prints what the short form leaves out.
func PrintRest(console *voice.Console, result *derive.Result, s answer.Speaker) {
	// The other groups of shoes, and the other efforts.
	for i := range s.Answers.Efforts {
		e := &s.Answers.Efforts[i]
		for g := range e.Groups {
			if group := &e.Groups[g]; i != s.Answers.Headline || group != e.Main() {
				printOneAnswer(console, s, e, group)
			}
		}
	}
	// Every pair.
	for i := range s.Answers.Efforts {
		printEveryPair(console, s, &s.Answers.Efforts[i])
	}
	printOtherOutcomes(console, result, s)
	// The analysis without assumptions.
	console.Printf("\nwithout assumptions: each pair on its own, from these data alone\n\n")
	PrintComparisons(console, result, deciding)
	if line := PlansLine(history.Plans(console.Dataset, result.Dataset), len(result.Dataset.Sessions)); line != "" {
		console.PrintHanging("", line)
	}
	printChoice(console, result)
}

// printOneAnswer prints the answer of one group of shoes at one effort.
func printOneAnswer(console *voice.Console, s answer.Speaker, e *answer.Effort, g *answer.Group) {
	said := s.Say(e, g)
	console.Printf("\n")
	console.PrintHanging("", english.Capitalise(s.Basis(e))+": "+said.Headline()+" "+said.Evidence)
	printStandings(console, s, e, g, len(g.Places))
	printList(console, "Doubts:", said.Doubts)
	printList(console, "What supports it:", said.Checks)
}

// printEveryPair prints every pair of shoes that was compared at an effort.
func printEveryPair(console *voice.Console, s answer.Speaker, e *answer.Effort) {
	for g := range e.Groups {
		console.Printf("\n%s at %s\n", e.Outcome.Info().Label, e.Effort.Same())
		console.Printf("%-23s %-24s %-14s %-7s %s\n", "pair", "better by", "chance of that", "s / b", "evidence")
		for i := range e.Groups[g].Pairs {
			p := &e.Groups[g].Pairs[i]
			console.Printf("%-23s %-24s %-14s %-7s %s\n", voice.Shorten(s.Label(p.Shoe)+" - "+s.Label(p.Reference), 23),
				answer.Interval(p.D), answer.Chance(p.D.Above), fmt.Sprintf("%d / %d", p.Sessions, p.Blocks),
				p.Evidence)
		}
	}
}

// printOtherOutcomes prints, for the pair that leads, what else differs at equal effort.
func printOtherOutcomes(console *voice.Console, result *derive.Result, s answer.Speaker) {
	e, g := s.Answers.Top()
	if g == nil {
		return
	}
	shoe, reference := g.Lead.Shoe, g.Lead.Reference
	console.Printf("\n%s against %s in other outcomes, without assumptions\n", s.Label(shoe), s.Label(reference))
	for i := range result.Compare.Comparisons {
		c := &result.Compare.Comparisons[i]
		if c.Effort != e.Effort || c.Outcome == e.Outcome || !units.Known(c.Estimate) {
			continue
		}
		if c.Shoe == reference && c.Reference == shoe {
			reversed := c.Reverse()
			c = &reversed
		}
		if c.Shoe == shoe && c.Reference == reference {
			console.Printf("  %-30s %-12s %s\n", c.Outcome.Info().Label, amountText(c), intervalText(c))
		}
	}
}

// deciding stands for the outcome that decides at each effort.
const deciding = trial.OutcomeCount

// PrintComparisons prints the analysis without assumptions in one outcome, or in that which
// decides at each effort.
func PrintComparisons(console *voice.Console, result *derive.Result, outcome trial.Outcome) {
	var shown []*compare.Comparison
	for i := range result.Compare.Comparisons {
		c := &result.Compare.Comparisons[i]
		if c.Outcome == outcome ||
			outcome == deciding && c.Outcome == compare.Primary(result.Dataset.Facts.Method, c.Effort) {
			shown = append(shown, c)
		}
	}
	// A heading for each level; they are sorted by it.
	label := compare.Labels(result.Dataset)
	level := ""
	for _, c := range shown {
		if c.Level != level {
			if level != "" {
				console.Printf("\n")
			}
			level = c.Level
			console.Printf("%s %s\n", c.Outcome.Info().Label, compare.AtLevel(c.Level))
			console.Printf("  %-25s %-9s %-18s %-8s %s\n", "shoe - reference", "estimate",
				fmt.Sprintf("%s %% interval", units.FormatDecimal(100*result.Dataset.Facts.Method.Confidence,
					0)), "s / b", "evidence")
		}
		console.Printf("  %-25s %-9s %-18s %-8s %s\n", voice.Shorten(label(c.Shoe)+" - "+label(c.Reference), 25),
			amountText(c), intervalText(c), fmt.Sprintf("%d / %d", c.Sessions, c.Blocks), c.Evidence)
	}
	if len(shown) > 0 {
		console.Printf("  (s / b: sessions and blocks with either shoe)\n\n")
	}
	printRandomisation(console, result, shown)
}

func amountText(c *compare.Comparison) string {
	if !units.Known(c.Estimate) {
		return "-"
	}
	return c.Amount(c.Estimate)
}

func intervalText(c *compare.Comparison) string {
	switch {
	case c.Model == compare.NotComparable:
		return "never linked"
	case !units.Known(c.Low):
		return "none"
	}
	return units.FormatDecimal(c.Low, 2) + " to " + units.FormatDecimal(c.High, 2)
}

// printRandomisation prints, under the comparisons, the randomisation tests over the
// orders that the plans could have drawn.
func printRandomisation(console *voice.Console, result *derive.Result, shown []*compare.Comparison) {
	label, confidence := compare.Labels(result.Dataset), result.Dataset.Facts.Method.Confidence
	printed, few := false, 0
	for _, c := range shown {
		if !units.Known(c.Randomisation.P) {
			few += min(1, c.Randomisation.Sessions)
			continue
		}
		if !printed {
			console.Printf("randomisation test, for these days\n")
			printed = true
		}
		console.Printf("  %-25s p = %-9s %s\n", voice.Shorten(label(c.Shoe)+" - "+label(c.Reference), 25),
			units.FormatSignificant(c.Randomisation.P, 2), c.Randomisation.Basis(confidence))
	}
	// What the numbers mean, or why there are none.
	if !printed && few > 0 {
		console.PrintHanging("", fmt.Sprintf("For %s, the sessions run as planned have fewer than %d orders in which "+
			"the two shoes change places. That is too few for a randomisation test.", units.Count(few, "comparison"),
			compare.FewestOrders))
		console.Printf("\n")
	}
	if printed {
		console.PrintHanging("  ", "(If the shoes made no difference, this share of the possible orders would still "+
			"show one at least as large on these days. It needs no model.)")
		console.Printf("\n")
	}
}
