package cli

import (
	"strings"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/history"
	"soletrial/cmd/internal/cli/report"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/english"
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
	count, plans := report.Tally(findings), history.Plans(a.Dataset, result.Dataset)
	if a.JSON {
		if err := a.PrintJSON(report.FindingsAsJSON(result, findings, plans, count)); err != nil {
			return err
		}
	} else {
		report.PrintFindings(&a.Console, result, session, findings, all)
		if line := report.PlansLine(plans, len(result.Dataset.Sessions)); session == "" &&
			(all || len(result.Sessions) <= report.ScreenSessions) {
			report.PrintPlans(&a.Console, plans)
		} else if session == "" && line != "" {
			a.PrintHanging("", line)
		}
	}
	// An open stop decides the exit code.
	if count.Standing > 0 {
		return voice.Stopped("`soletrial explain RULE` says what to do; to override a stop, write it with a reason "+
			"into session.yaml", "%s", units.Plural(count.Standing, "open stop", "open stops"))
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
