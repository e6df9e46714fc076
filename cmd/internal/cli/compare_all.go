package cli

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

// printRest prints what the short form leaves out.
func (a *app) printRest(result *derive.Result, s answer.Speaker) {
	// The other groups of shoes, and the other efforts.
	for i := range s.Answers.Efforts {
		e := &s.Answers.Efforts[i]
		for g := range e.Groups {
			if group := &e.Groups[g]; i != s.Answers.Headline || group != e.Main() {
				a.printOneAnswer(s, e, group)
			}
		}
	}
	// Every pair.
	for i := range s.Answers.Efforts {
		a.printEveryPair(s, &s.Answers.Efforts[i])
	}
	a.printOtherOutcomes(result, s)
	// The analysis without assumptions.
	a.Printf("\nwithout assumptions: each pair on its own, from these data alone\n\n")
	a.printComparisons(result, deciding)
	if line := plansLine(history.Plans(a.Dataset, result.Dataset), len(result.Dataset.Sessions)); line != "" {
		a.PrintHanging("", line)
	}
	a.printChoice(result)
}

// printOneAnswer prints the answer of one group of shoes at one effort.
func (a *app) printOneAnswer(s answer.Speaker, e *answer.Effort, g *answer.Group) {
	said := s.Say(e, g)
	a.Printf("\n")
	a.PrintHanging("", english.Capitalise(s.Basis(e))+": "+said.Headline()+" "+said.Evidence)
	a.printStandings(s, e, g, len(g.Places))
	a.printList("Doubts:", said.Doubts)
	a.printList("What supports it:", said.Checks)
}

// printEveryPair prints every pair of shoes that was compared at an effort.
func (a *app) printEveryPair(s answer.Speaker, e *answer.Effort) {
	for g := range e.Groups {
		a.Printf("\n%s at %s\n", e.Outcome.Info().Label, e.Effort.Same())
		a.Printf("%-23s %-24s %-14s %-7s %s\n", "pair", "better by", "chance of that", "s / b", "evidence")
		for i := range e.Groups[g].Pairs {
			p := &e.Groups[g].Pairs[i]
			a.Printf("%-23s %-24s %-14s %-7s %s\n", voice.Shorten(s.Label(p.Shoe)+" - "+s.Label(p.Reference), 23),
				answer.Interval(p.D), answer.Chance(p.D.Above), fmt.Sprintf("%d / %d", p.Sessions, p.Blocks),
				p.Evidence)
		}
	}
}

// printOtherOutcomes prints, for the pair that leads, what else differs at equal effort.
func (a *app) printOtherOutcomes(result *derive.Result, s answer.Speaker) {
	e, g := s.Answers.Top()
	if g == nil {
		return
	}
	shoe, reference := g.Lead.Shoe, g.Lead.Reference
	a.Printf("\n%s against %s in other outcomes, without assumptions\n", s.Label(shoe), s.Label(reference))
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
			a.Printf("  %-30s %-12s %s\n", c.Outcome.Info().Label, amountText(c), intervalText(c))
		}
	}
}

// deciding stands for the outcome that decides at each effort.
const deciding = trial.OutcomeCount

// printComparisons prints the analysis without assumptions in one outcome, or in that which
// decides at each effort.
func (a *app) printComparisons(result *derive.Result, outcome trial.Outcome) {
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
				a.Printf("\n")
			}
			level = c.Level
			a.Printf("%s %s\n", c.Outcome.Info().Label, compare.AtLevel(c.Level))
			a.Printf("  %-25s %-9s %-18s %-8s %s\n", "shoe - reference", "estimate",
				fmt.Sprintf("%s %% interval", units.FormatDecimal(100*result.Dataset.Facts.Method.Confidence,
					0)), "s / b", "evidence")
		}
		a.Printf("  %-25s %-9s %-18s %-8s %s\n", voice.Shorten(label(c.Shoe)+" - "+label(c.Reference), 25),
			amountText(c), intervalText(c), fmt.Sprintf("%d / %d", c.Sessions, c.Blocks), c.Evidence)
	}
	if len(shown) > 0 {
		a.Printf("  (s / b: sessions and blocks with either shoe)\n\n")
	}
	a.printRandomisation(result, shown)
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
