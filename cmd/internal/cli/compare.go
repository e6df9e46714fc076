package cli

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/report"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/english"
	"soletrial/pipeline/trial"
)

// compareOptions are the flags of compare.
type compareOptions struct {
	outcome, race string
	all           bool
}

func (a *app) compareCommand() *cobra.Command {
	var o compareOptions
	c := &cobra.Command{
		Use: "compare", Args: cobra.NoArgs,
		Short: "say which shoe to race in, and how sure that is",
		Long: "compare says which shoe to race in, by how much, and how sure that is. For each shoe\n" +
			"it gives the chance that it is the fastest, and how far the leading shoe is ahead.\n" +
			"With --all it adds the other efforts, every pair, the analysis without assumptions,\n" +
			"and what else may matter in each shoe.",
		Example: "  soletrial compare\n" +
			"  soletrial compare --race half=1:45:00\n" +
			"  soletrial compare --all --outcome heart_rate",
		RunE: func(*cobra.Command, []string) error { return a.compare(o) },
	}
	f := c.Flags()
	f.BoolVar(&o.all, "all", false, "everything: other efforts, every pair, the analysis without assumptions")
	f.StringVar(&o.outcome, "outcome", "",
		"add the analysis without assumptions of this `outcome`, such as heart_rate or cadence")
	f.StringVar(&o.race, "race", "",
		"show differences over this `race`, such as half=1:45:00; by default the longest race in dataset.yaml")
	return c
}

func (a *app) compare(o compareOptions) error {
	_, result, err := a.derived()
	if err != nil {
		return err
	}
	speaker, err := speakerOver(result, o.race)
	if err != nil {
		return err
	}
	// One outcome, everything, or the answer alone.
	chosen, named := trial.OutcomeNamed(o.outcome)
	if o.outcome != "" && !named {
		return voice.Usage(outcomeHint(o.outcome), "no outcome %q", o.outcome)
	}
	switch {
	case a.JSON:
		shown := *result
		if named {
			shown.Compare.Comparisons = slices.DeleteFunc(slices.Clone(shown.Compare.Comparisons),
				func(c compare.Comparison) bool { return c.Outcome != chosen })
		}
		return a.PrintJSON(report.AnswerAsJSON(&a.Console, &shown, speaker))
	case named:
		report.PrintInvented(&a.Console, result.Dataset)
		report.PrintComparisons(&a.Console, result, chosen)
	case o.all:
		report.PrintAnswer(&a.Console, result, speaker, true)
		report.PrintExcluded(&a.Console, result)
		report.PrintRest(&a.Console, result, speaker)
	default:
		report.PrintAnswer(&a.Console, result, speaker, false)
		report.PrintExcluded(&a.Console, result)
		a.PrintHanging("More: ", fmt.Sprintf("%s, %s, %s.", a.NextCommand("compare --all"), a.NextCommand("check"),
			a.NextCommand("summary")))
	}
	return nil
}

// outcomeHint says what an outcome that there is none of may have meant.
func outcomeHint(asked string) string {
	var names []string
	for o := range trial.OutcomeCount {
		names = append(names, o.Info().ID)
	}
	return cmp.Or(english.Suggest(asked, names), "the outcomes are "+strings.Join(names, " "))
}
