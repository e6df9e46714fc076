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
		Long: "compare prints, for every effort level, each pair of shoes in the outcome that\ndecides there (or in the one named with --outcome), and then the verdict. Without\n" +
			"--outcome it goes on with what may matter in each shoe, which shoes no other\nbeats on everything, and what each costs over the races in dataset.yaml.",
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
		if named && c.Outcome == chosen || !named && c.Outcome == compare.Primary(result.Dataset.Facts.Method, c.Effort) {
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
			a.Printf("  %-25s %-9s %-18s %-8s %s\n", "shoe - reference", "estimate", fmt.Sprintf("%s %% interval", units.FormatDecimal(100*result.Dataset.Facts.Method.Confidence, 0)), "s / b", "evidence")
		}
		a.Printf("  %-25s %-9s %-18s %-8s %s\n", voice.Shorten(label(c.Shoe)+" - "+label(c.Reference), 25), amountText(c), intervalText(c), fmt.Sprintf("%d / %d", c.Sessions, c.Blocks), c.Evidence)
	}
	if len(shown) > 0 {
		a.Printf("  (s / b: sessions and blocks that hold either shoe)\n\n")
	}
	a.printByDraw(result, shown)
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
	return []string{fmt.Sprintf("Kept out by a stop: %d of %s; %s says why.", kept, units.Count(all, "block"), a.NextCommand("check"))}
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

type comparisonJSON struct {
	Outcome          string      `json:"outcome"`
	Unit             string      `json:"unit"`
	Level            string      `json:"level"`
	Model            string      `json:"model"`
	Shoe             string      `json:"shoe"`
	Reference        string      `json:"reference"`
	Runners          int         `json:"runners"`
	Sessions         int         `json:"sessions"`
	Blocks           int         `json:"blocks"`
	Estimate         *float64    `json:"estimate,omitempty"`
	Low              *float64    `json:"low,omitempty"`
	High             *float64    `json:"high,omitempty"`
	DF               *float64    `json:"df,omitempty"`
	P                *float64    `json:"p_value,omitempty"`
	PAdjusted        *float64    `json:"p_adjusted,omitempty"`
	Adjustment       *float64    `json:"adjustment,omitempty"`
	TippingDrift     *float64    `json:"tipping_drift_per_block,omitempty"`
	TippingEdge      *float64    `json:"tipping_interval_per_block,omitempty"`
	WithoutLow       *float64    `json:"leave_one_out_low,omitempty"`
	WithoutHigh      *float64    `json:"leave_one_out_high,omitempty"`
	ConservativeLow  *float64    `json:"cautious_low,omitempty"`
	ConservativeHigh *float64    `json:"cautious_high,omitempty"`
	NewRunnerLow     *float64    `json:"new_runner_low,omitempty"`
	NewRunnerHigh    *float64    `json:"new_runner_high,omitempty"`
	SensorError      *float64    `json:"sensor_error,omitempty"`
	Evidence         string      `json:"evidence"`
	Reasons          []string    `json:"reasons,omitempty"`
	Notes            []string    `json:"notes,omitempty"`
	Sentence         string      `json:"sentence"`
	Randomisation    *byDrawJSON `json:"randomisation,omitempty"`
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
			places = append(places, placeJSON{p.Shoe, p.Reference, voice.JSONNumber(p.Estimate), voice.JSONNumber(p.Low), voice.JSONNumber(p.High), append([]string{}, p.Apart...)})
		}
		list = append(list, map[string]any{"level": r.Level, "outcome": r.Outcome.Info().ID, "places": places})
	}
	return list
}

func comparisonsJSON(result *derive.Result, shown []*compare.Comparison) map[string]any {
	list := make([]comparisonJSON, 0, len(shown))
	for _, c := range shown {
		list = append(list, comparisonJSON{
			Outcome: c.Outcome.Info().ID, Unit: c.Unit(), Level: c.Level, Model: string(c.Model), Shoe: c.Shoe, Reference: c.Reference,
			Runners: c.Runners, Sessions: c.Sessions, Blocks: c.Blocks, Estimate: voice.JSONNumber(c.Estimate), Low: voice.JSONNumber(c.Low), High: voice.JSONNumber(c.High),
			DF: voice.JSONNumber(c.DF), P: voice.JSONNumber(c.P), PAdjusted: voice.JSONNumber(c.PAdjusted), Adjustment: voice.JSONNumber(c.Adjustment), TippingDrift: voice.JSONNumber(c.TippingDrift),
			TippingEdge: voice.JSONNumber(c.TippingInterval), WithoutLow: voice.JSONNumber(c.WithoutLow), WithoutHigh: voice.JSONNumber(c.WithoutHigh), ConservativeLow: voice.JSONNumber(c.ConservativeLow), ConservativeHigh: voice.JSONNumber(c.ConservativeHigh),
			NewRunnerLow: voice.JSONNumber(c.PredictionLow), NewRunnerHigh: voice.JSONNumber(c.PredictionHigh), SensorError: voice.JSONNumber(c.SensorErrorPct),
			Evidence: string(c.Evidence), Reasons: c.Reasons, Notes: c.Notes,
			Sentence: c.Sentence(compare.Labels(result.Dataset), result.Dataset.Facts.Method.Confidence), Randomisation: drawJSON(c.ByDraw),
		})
	}
	v := result.Compare.Verdict
	return map[string]any{"invented": result.Dataset.Facts.Invented, "verdict": v.Headline, "detail": v.Detail, "comparisons": list, "rankings": rankingsJSON(result)}
}
