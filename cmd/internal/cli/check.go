package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/history"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/quality"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func (a *app) checkCommand() *cobra.Command {
	return &cobra.Command{
		Use: "check", Args: cobra.NoArgs,
		Short: "look for what could make a comparison wrong",
		Long: "check runs every quality rule and prints the findings by session. It exits 1\nwhile a stop stands " +
			"that nobody has settled in writing.",
		RunE: func(*cobra.Command, []string) error { return a.check() },
	}
}

func (a *app) check() error {
	_, result, err := a.derived()
	if err != nil {
		return err
	}
	count, plans := tally(result.Findings), history.Plans(a.Dataset, result.Dataset)
	if a.JSON {
		if err := a.PrintJSON(findingsJSON(result, plans, count)); err != nil {
			return err
		}
	} else {
		a.printFindings(result, plans, count)
	}
	if count.standing > 0 {
		return voice.Stopped("`soletrial explain RULE` says what to do; to let one pass, write an override with a "+
			"reason into session.yaml", "%s", units.Plural(count.standing, "stop stands", "stops stand"))
	}
	return nil
}

// counts is how many findings of each severity there are, and how many stops
// nobody has settled.
type counts struct{ stops, warnings, notes, standing int }

func tally(findings []trial.Finding) counts {
	var c counts
	for _, f := range findings {
		switch f.Severity {
		case trial.Stop:
			c.stops++
		case trial.Warn:
			c.warnings++
		default:
			c.notes++
		}
		if f.Holds() {
			c.standing++
		}
	}
	return c
}

func (c counts) String() string {
	stops := units.Count(c.stops, "stop")
	if settled := c.stops - c.standing; settled > 0 {
		stops += fmt.Sprintf(" (%d settled)", settled)
	}
	return fmt.Sprintf("%s, %s, %s", stops, units.Count(c.warnings, "warning"), units.Count(c.notes, "note"))
}

func (a *app) printFindings(result *derive.Result, plans []trial.PlanHistory, total counts) {
	bySession := map[string][]trial.Finding{}
	for _, f := range result.Findings {
		bySession[f.Session] = append(bySession[f.Session], f)
	}
	if wide := bySession[""]; len(wide) > 0 {
		a.Printf("dataset: %s\n", tally(wide))
		a.printGroup(wide)
	}
	for i, s := range result.Sessions {
		included := 0
		for _, b := range s.Blocks {
			if b.Included {
				included++
			}
		}
		if len(s.Blocks) == 0 && result.Dataset.Sessions[i].Plan != nil {
			a.Printf("%s: planned, not run\n", s.ID)
		} else {
			a.Printf("%s: %d of %s compared; %s\n", s.ID, included, units.Count(len(s.Blocks), "block"),
				tally(bySession[s.ID]))
		}
		a.printGroup(bySession[s.ID])
	}
	a.printPlans(plans)
	a.Printf("%s in %s\n", total, units.Count(len(result.Sessions), "session"))
}

func (a *app) printGroup(findings []trial.Finding) {
	for _, f := range findings {
		where := ""
		if f.Block != "" {
			where = fmt.Sprintf("block %s: ", f.Block)
		}
		a.PrintHanging(fmt.Sprintf("  %-4s ", f.Severity), string(f.Rule)+": "+where+derive.FindingText(f))
		if f.Override == "" {
			a.PrintHanging("       ", fmt.Sprintf("at %s; %s", f.At, hint(f)))
		}
	}
}

type findingJSON struct {
	Session  string   `json:"session,omitempty"`
	Block    string   `json:"block,omitempty"`
	Rule     string   `json:"rule"`
	Severity string   `json:"severity"`
	Value    *float64 `json:"value,omitempty"`
	Limit    *float64 `json:"limit,omitempty"`
	Message  string   `json:"message"`
	Hint     string   `json:"hint,omitempty"`
	Settled  string   `json:"settled,omitempty"`
	At       string   `json:"at"`
}

func findingsJSON(result *derive.Result, plans []trial.PlanHistory, c counts) any {
	list := make([]findingJSON, 0, len(result.Findings))
	for _, f := range result.Findings {
		list = append(list, findingJSON{f.Session, f.Block, string(f.Rule), string(f.Severity),
			voice.JSONNumber(f.Value), voice.JSONNumber(f.Limit), f.Message, hint(f), f.Override, f.At.String()})
	}
	return map[string]any{"findings": list, "stops": c.stops, "warnings": c.warnings, "notes": c.notes,
		"standing": c.standing, "sessions": len(result.Sessions), "plans": append([]trial.PlanHistory{}, plans...)}
}

// hint is the short of what the finding's rule says to do.
func hint(f trial.Finding) string {
	rule, _ := quality.RuleNamed(f.Rule)
	return rule.Hint
}
