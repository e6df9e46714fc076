package quality

import (
	"slices"

	"soletrial/pipeline/trial"
)

// Scope is what a rule looks at.
type Scope string

// The scopes, from narrow to wide.
const (
	OfRecording Scope = "recording"
	OfBlock     Scope = "block"
	OfSession   Scope = "session"
	OfDataset   Scope = "dataset"
)

// Rule is one line of the rule table, in words for people.
type Rule struct {
	Slug       string // its name in findings, overrides and `explain`
	Title      string
	Scope      Scope
	Severities []trial.Severity // that it can give, heaviest first
	Looks      string           // what it measures
	Limit      string           // the limit and the key in dataset.yaml that sets it
	Source     string           // where the limit comes from
	Fix        string           // what to do
	Hint       string           // the short of it, printed beside a finding
}

// Rules returns the rule table in its documented order.
func Rules() []Rule { return slices.Concat(narrow, wide) }

// RuleNamed returns the rule with the given slug.
func RuleNamed(slug string) (Rule, bool) {
	for _, r := range Rules() {
		if r.Slug == slug {
			return r, true
		}
	}
	return Rule{}, false
}
