package quality

import (
	"reflect"
	"slices"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Scope is what a rule is about.
type Scope string

// The scopes, from narrow to wide.
const (
	OfRecording Scope = "recording"
	OfBlock     Scope = "block"
	OfSession   Scope = "session"
	OfDataset   Scope = "dataset"
	OfAnswer    Scope = "answer"
)

// Rule is a quality rule in words for people.
type Rule struct {
	Slug       trial.RuleSlug // its name in findings, overrides and `explain`
	Title      string
	Brief      string // what it looks for, in a few words
	Scope      Scope
	Severities []trial.Severity // that it can give, heaviest first
	Measures   string           // what it measures
	Limit      string           // the limit and the key in dataset.yaml that sets it
	Source     string           // where the limit comes from
	Fix        string           // what to do
	Hint       string           // the short of it, printed beside a finding
}

// rule is an entry of one of the rule tables: recordingRules, blockRules,
// sessionRules and datasetRules. Their words are in tables of their own, so that a
// program that checks but explains nothing, such as the explorer, is without them:
// recordingWords and so on. These leave out the scope, and name a limit as {key}: see
// [statesDefaults].
type rule[Check any] struct {
	slug  trial.RuleSlug
	check func(*Check)
}

// engineering is where many limits come from.
const engineering = "an engineering choice; no published limit"

// Rules returns every rule in its documented order, with the limits of
// [trial.DefaultLimits] in its words.
func Rules() []Rule { return rulesWith(trial.DefaultLimits()) }

// rulesWith returns every rule with the given default limits in its words.
func rulesWith(defaults trial.Limits) []Rule {
	var all []Rule
	for r := range rulesInWords {
		all = append(all, r.withDefaults(defaults))
	}
	return all
}

// RuleNamed returns the rule with the given slug.
func RuleNamed(slug trial.RuleSlug) (Rule, bool) {
	for r := range rulesInWords {
		if r.Slug == slug {
			return r.withDefaults(trial.DefaultLimits()), true
		}
	}
	return Rule{}, false
}

// withDefaults returns the rule for a caller to keep, with the given default limits in its words.
func (r Rule) withDefaults(defaults trial.Limits) Rule {
	r.Severities, r.Limit = slices.Clone(r.Severities), statesDefaults(r.Limit, defaults)
	return r
}

// planExplained is the hint of [PlanDeparted] where session.yaml lists deviations already,
// as `log` writes them from a field log.
const planExplained = "session.yaml lists deviations: add this one if it is not among them; an order chosen on " +
	"the day can favour a shoe"

// noRecording ends the message of a finding about a block that nothing was recorded of, and
// importIt is what to do about it.
const (
	noRecording = ": no recording covers the block"
	importIt    = "import the recording that covers the block, or exclude the block with a reason"
)

// Hint returns the short of what to do about findings of one rule, "" for none or a rule
// that there is not.
func Hint(ds *trial.Dataset, findings ...trial.Finding) string {
	if len(findings) == 0 {
		return ""
	}
	rule, _ := RuleNamed(findings[0].Rule)
	unexplained := func(f trial.Finding) bool {
		s := ds.Session(f.Session)
		return s == nil || len(s.Facts.Deviations) == 0
	}
	if rule.Slug == PlanDeparted && !slices.ContainsFunc(findings, unexplained) {
		return planExplained
	}
	// A block that nothing was recorded of has no dropouts to look for.
	switch missing := unrecorded(findings); {
	case missing == len(findings):
		return importIt
	case missing > 0:
		return "import the recording that covers the block where none does; elsewhere " + rule.Hint
	}
	return rule.Hint
}

// unrecorded counts the findings about blocks that nothing was recorded of.
func unrecorded(findings []trial.Finding) (n int) {
	for _, f := range findings {
		if strings.HasSuffix(f.Message, noRecording) {
			n++
		}
	}
	return n
}

// rulesInWords yields every rule in its documented order; limits are still keys.
func rulesInWords(yield func(Rule) bool) {
	for _, table := range []struct {
		scope Scope
		words []Rule
	}{
		{OfRecording, recordingWords}, {OfBlock, blockWords}, {OfSession, sessionWords}, {OfDataset, datasetWords},
		{OfAnswer, answerWords},
	} {
		for _, r := range table.words {
			r.Scope = table.scope
			if !yield(r) {
				return
			}
		}
	}
}

// statesDefaults replaces every {key} in the words about a limit, such as
// {gap_s}, by the key in dataset.yaml and its default: limits.gap_s, default 5.
func statesDefaults(words string, defaults trial.Limits) string {
	if !strings.Contains(words, "{") {
		return words
	}
	values := reflect.ValueOf(defaults)
	for i := range values.NumField() {
		key, _, _ := strings.Cut(values.Type().Field(i).Tag.Get("json"), ",")
		if placeholder := "{" + key + "}"; strings.Contains(words, placeholder) {
			stated := "limits." + key + ", default " + units.FormatExact(values.Field(i).Float())
			words = strings.ReplaceAll(words, placeholder, stated)
		}
	}
	return words
}
