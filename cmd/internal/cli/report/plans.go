package report

import (
	"fmt"
	"strings"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// PrintPlans prints what the history shows about every plan.
func PrintPlans(console *voice.Console, records []trial.PlanHistory) {
	if len(records) == 0 {
		return
	}
	console.Printf("plans\n")
	shown := false
	for _, r := range records {
		console.PrintHanging("  "+r.Session+": ", r.Text)
		shown = shown || r.State == trial.PlanBefore || r.State == trial.PlanWaiting
	}
	if shown {
		console.PrintHanging("  ", "(days are by the committer's clock, "+
			"and a history can be rewritten until someone else has a copy: push a plan before the run)")
	}
}

// planWords are the states in words, in the order of a summary.
var planWords = []struct {
	state trial.PlanState
	words string
}{
	{trial.PlanBefore, "committed before the samples, unchanged since"}, {trial.PlanChanged,
		"committed before the samples, changed since"},
	{trial.PlanLate, "dated after the run"}, {trial.PlanAfter, "not before the samples"}, {trial.PlanWaiting,
		"not run yet"},
	{trial.PlanUncommitted, "not committed"}, {trial.PlanUnknown, "date cannot be proved"},
}

// PlansLine says in a sentence what the history shows about the plans; "" without
// sessions.
func PlansLine(records []trial.PlanHistory, sessions int) string {
	switch {
	case sessions == 0:
		return ""
	case len(records) == 0:
		return "No session has a plan."
	}
	var parts []string
	for _, w := range planWords {
		n := 0
		for _, r := range records {
			if r.State == w.state {
				n++
			}
		}
		if n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, w.words))
		}
	}
	return fmt.Sprintf("Plans: %d of %s have one: %s (`soletrial check --all` says why).",
		len(records), units.Count(sessions, "session"), strings.Join(parts, ", "))
}
