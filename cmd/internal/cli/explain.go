package cli

import (
	"strings"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/english"
	"soletrial/pipeline/quality"
	"soletrial/pipeline/trial"
)

func (a *app) explainCommand() *cobra.Command {
	return &cobra.Command{
		Use: "explain [RULE]", Args: cobra.MaximumNArgs(1),
		Short: "say what a quality rule looks at and what to do; without RULE, list all rules",
		Example: "  soletrial explain\n" +
			"  soletrial explain order-confounded",
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return a.listRules()
			}
			return a.explain(args[0])
		},
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return slugs(), cobra.ShellCompDirectiveNoFileComp
		},
	}
}

func slugs() []string {
	var names []string
	for _, r := range quality.Rules() {
		names = append(names, string(r.Slug))
	}
	return names
}

type ruleJSON struct {
	Rule       string   `json:"rule"`
	Title      string   `json:"title"`
	Scope      string   `json:"scope"`
	Severities []string `json:"severities"`
	Looks      string   `json:"looks_at"`
	Limit      string   `json:"limit"`
	Source     string   `json:"source"`
	Fix        string   `json:"what_to_do"`
}

func asJSON(r quality.Rule) ruleJSON {
	return ruleJSON{string(r.Slug), r.Title, string(r.Scope), severities(r), r.Measures, r.Limit, r.Source, r.Fix}
}

func severities(r quality.Rule) []string {
	var names []string
	for _, s := range r.Severities {
		names = append(names, string(s))
	}
	return names
}

func (a *app) listRules() error {
	if a.JSON {
		var list []ruleJSON
		for _, r := range quality.Rules() {
			list = append(list, asJSON(r))
		}
		return a.PrintJSON(map[string]any{"rules": list})
	}
	for _, r := range quality.Rules() {
		a.Printf("%-20s %-10s %s\n", r.Slug, strings.Join(severities(r), ", "), r.Title)
	}
	return nil
}

func (a *app) explain(slug string) error {
	r, ok := quality.RuleNamed(trial.RuleSlug(slug))
	if !ok {
		hint := "`soletrial explain` lists the rules"
		if near := english.Suggest(slug, slugs()); near != "" {
			hint = near
		}
		return voice.Usage(hint, "no rule %q", slug)
	}
	if a.JSON {
		return a.PrintJSON(asJSON(r))
	}
	a.Printf("%s: %s (%s)\n", r.Slug, r.Title, strings.Join(severities(r), ", "))
	for _, part := range []struct{ name, text string }{{"looks at", r.Measures}, {"limit", r.Limit},
		{"source", r.Source}, {"what to do", r.Fix}} {
		for i, line := range voice.Wrap(part.text, 64) {
			name := ""
			if i == 0 {
				name = part.name
			}
			a.Printf("  %-11s %s\n", name, line)
		}
	}
	return nil
}
