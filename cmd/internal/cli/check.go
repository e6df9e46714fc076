package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/history"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/english"
	"soletrial/pipeline/quality"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func (a *app) checkCommand() *cobra.Command {
	var all bool
	c := &cobra.Command{
		Use: "check [SESSION]", Args: cobra.MaximumNArgs(1),
		Short: "look for what could make a comparison wrong",
		Long: "check runs every quality rule. It prints what to do next, then the findings by rule,\n" +
			"the worst first. A stop is a finding that excludes blocks. check exits 1 while one\n" +
			"is open: mend what it names, or override it in session.yaml with a reason.",
		Example: "  soletrial check\n" +
			"  soletrial check 2026-04-25-power\n" +
			"  soletrial check --all",
		RunE: func(_ *cobra.Command, args []string) error {
			return a.check(strings.Join(args, ""), all)
		},
	}
	c.Flags().BoolVar(&all, "all", false, "print every finding, and where it is")
	return c
}

func (a *app) check(session string, all bool) error {
	folder, result, err := a.derived()
	if err != nil {
		return err
	}
	findings, err := findingsOf(result, session)
	if err != nil {
		return err
	}
	// What is in the folder and belongs to no dataset does not stop anything.
	for _, stray := range folder.Strays() {
		a.Remark("note: %q %s", stray.At.File, stray.Message)
	}
	// The findings, then the plans that wait to be run.
	count, plans := tally(findings), history.Plans(a.Dataset, result.Dataset)
	if a.JSON {
		if err := a.PrintJSON(findingsJSON(result, findings, plans, count)); err != nil {
			return err
		}
	} else {
		a.printFindings(result, session, findings, all)
		if line := plansLine(plans, len(result.Dataset.Sessions)); session == "" &&
			(all || len(result.Sessions) <= screenSessions) {
			a.printPlans(plans)
		} else if session == "" && line != "" {
			a.PrintHanging("", line)
		}
	}
	// An open stop decides the exit code.
	if count.standing > 0 {
		return voice.Stopped("`soletrial explain RULE` says what to do; to override a stop, write it with a reason "+
			"into session.yaml", "%s", units.Plural(count.standing, "open stop", "open stops"))
	}
	return nil
}

// findingsOf are the findings of one session, or all for "".
func findingsOf(result *derive.Result, session string) ([]trial.Finding, error) {
	if session == "" {
		return result.Findings, nil
	}
	if result.Session(session) == nil {
		var ids []string
		for _, s := range result.Sessions {
			ids = append(ids, s.ID)
		}
		return nil, voice.Usage(english.Suggest(session, ids), "no session %q", session)
	}
	var findings []trial.Finding
	for _, f := range result.Findings {
		if f.Session == session {
			findings = append(findings, f)
		}
	}
	return findings, nil
}

// counts is how many findings of each severity there are, and how many stops
// nobody has overridden.
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
	if overridden := c.stops - c.standing; overridden > 0 {
		stops += fmt.Sprintf(" (%d overridden)", overridden)
	}
	return fmt.Sprintf("%s, %s, %s", stops, units.Count(c.warnings, "warning"), units.Count(c.notes, "note"))
}

type findingJSON struct {
	Session    string   `json:"session"`
	Block      string   `json:"block"`
	Rule       string   `json:"rule"`
	Severity   string   `json:"severity"`
	Value      *float64 `json:"value"`
	Limit      *float64 `json:"limit"`
	Message    string   `json:"message"`
	Hint       string   `json:"hint,omitempty"`
	Overridden string   `json:"overridden,omitempty"`
	At         string   `json:"at"`
}

func findingsJSON(result *derive.Result, findings []trial.Finding, plans []trial.PlanHistory, c counts) any {
	list := make([]findingJSON, 0, len(findings))
	for _, f := range findings {
		list = append(list, findingJSON{f.Session, f.Block, string(f.Rule), string(f.Severity),
			voice.JSONNumber(f.Value), voice.JSONNumber(f.Limit), f.Message, quality.Hint(result.Dataset, f),
			f.Override, f.At.String()})
	}
	return map[string]any{"findings": list, "stops": c.stops, "warnings": c.warnings, "notes": c.notes,
		"standing": c.standing, "sessions": len(result.Sessions), "plans": append([]trial.PlanHistory{}, plans...)}
}
