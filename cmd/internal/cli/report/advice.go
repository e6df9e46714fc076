package report

import (
	"fmt"
	"slices"
	"strings"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/plan"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// PrintAdvice prints how likely further sessions give an answer.
func PrintAdvice(console *voice.Console, ds *trial.Dataset, adv *plan.Advice) {
	PrintInvented(console, ds)
	label := compare.Labels(ds)
	var names []string
	for _, shoe := range adv.Shoes {
		names = append(names, label(shoe))
	}
	now := "nothing run yet"
	if adv.Status != "" {
		now = "the answer now: " + adv.Status
	}
	console.Printf("%s at the same %s, %s\n", adv.Outcome.Info().Label, adv.Effort.Name(), now)
	console.PrintHanging("  ", "sessions of "+units.Count(adv.Blocks, "block")+": "+strings.Join(names, ", "))
	if len(adv.Chances) == 0 {
		console.PrintHanging("",
			fmt.Sprintf("With more than %d blocks another session changes little: nothing was simulated.",
				plan.MostBlocks))
	} else {
		printChances(console, adv)
	}
	for _, sentence := range adviceNotes(adv, label) {
		console.PrintHanging("", sentence)
	}
}

// printChances prints a row for each difference, a column for each number of sessions.
func printChances(console *voice.Console, adv *plan.Advice) {
	console.Printf("\nchance of an answer (one fastest shoe, or practically the same)\n")
	line := fmt.Sprintf("  %-24s", "if the leader is")
	for _, n := range plan.SessionsAhead {
		line += fmt.Sprintf(" %-9s", fmt.Sprint(n)+" more")
	}
	console.Printf("%s\n", strings.TrimRight(line, " "))
	for _, pct := range plan.Differences {
		line = fmt.Sprintf("  %-24s", units.FormatDecimal(pct, 0)+" % ahead of the others")
		for _, c := range adv.Chances {
			if c.DifferencePct == pct {
				line += fmt.Sprintf(" %-9s", units.FormatDecimal(100*c.Answered(), 0)+" %")
			}
		}
		console.Printf("%s\n", strings.TrimRight(line, " "))
	}
	console.Printf("\n")
}

// adviceNotes are the sentences under the chances.
func adviceNotes(adv *plan.Advice, label func(string) string) []string {
	var notes []string
	if len(adv.Chances) > 0 {
		most := 0.0
		for _, c := range adv.Chances {
			most = max(most, c.Error)
		}
		notes = append(notes, fmt.Sprintf("Each chance is from %d simulated trials, with this program's rule, seed "+
			"%d and the data so far. Its standard error is %s points at most.", plan.Simulations, adv.Outlook.Seed,
			units.FormatDecimal(100*most, 1)))
	}
	if slices.ContainsFunc(adv.Chances, func(c plan.Chance) bool { return c.Levelled }) {
		notes = append(notes, "Another session does not make an answer less likely. Where a simulated chance falls "+
			"all the same, by its own error, the table repeats the one before.")
	}
	// What no further session can change, and what one could be used for.
	if adv.Outlook.SameOutOfReach() {
		notes = append(notes, "No number of sessions can show shoes to be practically the same here: the sensor may "+
			"read differently in each. Count laps (or measure metres) in every block.")
	}
	if adv.Least != nil {
		notes = append(notes, "Compared least so far: "+label(adv.Least.A)+" and "+label(adv.Least.B)+".")
	}
	if adv.Aim != "" {
		notes = append(notes, adv.Aim)
	}
	return append(notes, plan.StopByPrecision)
}

// AdviceAsJSON is the same for programs.
func AdviceAsJSON(adv *plan.Advice) any {
	chances := []any{}
	for _, c := range adv.Chances {
		chances = append(chances, map[string]any{"difference_pct": c.DifferencePct, "sessions": c.Sessions,
			"chance_fastest": c.Fastest, "chance_same": c.Same, "chance_answered": c.Answered(), "error": c.Error,
			"levelled": c.Levelled})
	}
	least := []string{}
	if adv.Least != nil {
		least = append(least, adv.Least.A, adv.Least.B)
	}
	return map[string]any{"effort": adv.Effort, "outcome": adv.Outcome.Info().ID, "status": adv.Status,
		"shoes": adv.Shoes, "blocks": adv.Blocks, "simulations": plan.Simulations, "seed": adv.Outlook.Seed,
		"chances": chances, "same_out_of_reach": adv.Outlook.SameOutOfReach(), "compared_least": least,
		"aim": adv.Aim, "stop": plan.StopByPrecision}
}
