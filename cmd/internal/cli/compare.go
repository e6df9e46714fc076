package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/history"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func (a *app) compareCommand() *cobra.Command {
	var outcome string
	c := &cobra.Command{
		Use: "compare", Args: cobra.NoArgs,
		Short: "print how the shoes compare, with intervals",
		Long: "compare prints, for every effort level, each pair of shoes in the outcome that\ndecides there (or in " +
			"the one named with --outcome), and then the verdict. Without\n" +
			"--outcome it goes on with what may matter in each shoe, which shoes no other\nbeats on everything, and " +
			"what each costs over the races in dataset.yaml.",
		RunE: func(*cobra.Command, []string) error { return a.compare(outcome) },
	}
	c.Flags().StringVar(&outcome, "outcome", "", "compare in this `outcome` instead, such as heart_rate or cadence")
	return c
}

func (a *app) compare(outcome string) error {
	_, result, err := a.derived()
	if err != nil {
		return err
	}
	chosen, named := trial.OutcomeNamed(outcome)
	if outcome != "" && !named {
		return voice.Usage("the outcomes are "+outcomeNames(), "no outcome %q", outcome)
	}
	var shown []*compare.Comparison
	for i := range result.Compare.Comparisons {
		c := &result.Compare.Comparisons[i]
		if named && c.Outcome == chosen || !named && c.Outcome == compare.Primary(result.Dataset.Facts.Method,
			c.Effort) {
			shown = append(shown, c)
		}
	}
	if a.JSON {
		answer := comparisonsJSON(result, shown)
		answer["plans"] = append([]trial.PlanHistory{}, history.Plans(a.Dataset, result.Dataset)...)
		if !named {
			answer["recommend"] = choiceJSON(result)
		}
		return a.PrintJSON(answer)
	}
	a.printComparisons(result, shown)
	if line := plansLine(history.Plans(a.Dataset, result.Dataset), len(result.Dataset.Sessions)); line != "" {
		a.PrintHanging("", line)
	}
	if !named {
		a.printChoice(result)
	}
	return nil
}

func outcomeNames() string {
	names := ""
	for o := range trial.OutcomeCount {
		names += o.Info().ID + " "
	}
	return names[:len(names)-1]
}

func (a *app) printComparisons(result *derive.Result, shown []*compare.Comparison) {
	if result.Dataset.Facts.Invented {
		a.Printf("invented data: a demonstration\n\n")
	}
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
		a.Printf("  (s / b: sessions and blocks that hold either shoe)\n\n")
	}
	a.printRandomisation(result, shown)
	v := result.Compare.Verdict
	for _, sentence := range append(append([]string{v.Headline}, v.Detail...), a.keptOut(result)...) {
		a.PrintHanging("", sentence)
	}
}

// keptOut says how many blocks stops keep out of the comparison; nothing where
// none does.
func (a *app) keptOut(result *derive.Result) []string {
	holds := map[[2]string]bool{} // by session and block; "" holds the whole session
	for _, f := range result.Findings {
		if f.Holds() {
			holds[[2]string{f.Session, f.Block}] = true
		}
	}
	kept, all := 0, 0
	for _, s := range result.Sessions {
		for _, b := range s.Blocks {
			all++
			if holds[[2]string{s.ID, ""}] || holds[[2]string{s.ID, b.Block}] {
				kept++
			}
		}
	}
	if kept == 0 {
		return nil
	}
	return []string{fmt.Sprintf("Kept out by a stop: %d of %s; %s says why.", kept, units.Count(all, "block"),
		a.NextCommand("check"))}
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

type placeJSON struct {
	Shoe      string   `json:"shoe"`
	Reference bool     `json:"reference,omitempty"`
	Estimate  *float64 `json:"estimate,omitempty"`
	Low       *float64 `json:"low,omitempty"`
	High      *float64 `json:"high,omitempty"`
	Apart     []string `json:"told_apart_from"`
}

// rankingsJSON gives every level's order, best first, each shoe with those it is
// told apart from: an order alone would say more than is known.
func rankingsJSON(result *derive.Result) []map[string]any {
	list := []map[string]any{}
	for _, r := range result.Compare.Rankings {
		places := []placeJSON{}
		for _, p := range r.Places {
			places = append(places, placeJSON{p.Shoe, p.Reference, voice.JSONNumber(p.Estimate),
				voice.JSONNumber(p.Low), voice.JSONNumber(p.High), append([]string{}, p.Apart...)})
		}
		list = append(list, map[string]any{"level": r.Level, "outcome": r.Outcome.Info().ID, "places": places})
	}
	return list
}

func comparisonsJSON(result *derive.Result, shown []*compare.Comparison) map[string]any {
	list := make([]map[string]any, len(shown))
	for i, c := range shown {
		list[i] = comparisonJSON(result, c)
	}
	v := result.Compare.Verdict
	return map[string]any{
		"invented": result.Dataset.Facts.Invented, "verdict": v.Headline, "detail": v.Detail,
		"comparisons": list, "rankings": rankingsJSON(result),
	}
}

// comparisonJSON is a comparison as comparisons.csv has it, by its columns, and what
// no table holds. What is not known is left out.
func comparisonJSON(result *derive.Result, c *compare.Comparison) map[string]any {
	values := derive.ComparisonJSON(c)
	for key, x := range map[string]float64{
		"tipping_interval_per_block": c.TippingInterval,
		"leave_one_out_low":          c.WithoutLow,
		"leave_one_out_high":         c.WithoutHigh,
		"conservative_low":           c.ConservativeLow,
		"conservative_high":          c.ConservativeHigh,
		"new_runner_low":             c.PredictionLow,
		"new_runner_high":            c.PredictionHigh,
	} {
		if units.Known(x) {
			values[key] = x
		}
	}
	for key, sentences := range map[string][]string{"reasons": c.Reasons, "notes": c.Notes} {
		if len(sentences) > 0 {
			values[key] = sentences
		}
	}
	values["sentence"] = c.Sentence(compare.Labels(result.Dataset), result.Dataset.Facts.Method.Confidence)
	return values
}
