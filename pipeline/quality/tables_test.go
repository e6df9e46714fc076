package quality

import (
	"os"
	"regexp"
	"slices"
	"testing"

	"soletrial/pipeline/trial"
)

// Checks and words of the rules stand in tables of their own: both name the same rules in the same order.
func TestWhatIsCheckedIsExplained(t *testing.T) {
	checked := slices.Concat(slugsOf(recordingRules), slugsOf(blockRules), slugsOf(sessionRules), slugsOf(datasetRules))
	var explained []trial.RuleSlug
	for _, r := range Rules() {
		if r.Scope != OfAnswer { // checked where the answers are
			explained = append(explained, r.Slug)
		}
	}
	if !slices.Equal(checked, explained) {
		t.Errorf("checked are %q, explained %q", checked, explained)
	}
}

func slugsOf[Check any](table []rule[Check]) (slugs []trial.RuleSlug) {
	for _, r := range table {
		slugs = append(slugs, r.slug)
	}
	return slugs
}

// declaredSlug is how a file of rules declares a slug.
var declaredSlug = regexp.MustCompile(`(?m)^\t\w+ +trial\.RuleSlug = "([a-z-]+)"$`)

// A slug without an entry in its table would be a rule that never runs.
func TestEverySlugHasAnEntry(t *testing.T) {
	var declared, entries []string
	for _, file := range []string{
		"rules_recording.go", "rules_block.go", "rules_session.go", "rules_dataset.go", "rules_answer.go",
	} {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, match := range declaredSlug.FindAllStringSubmatch(string(text), -1) {
			declared = append(declared, match[1])
		}
	}
	for _, r := range Rules() {
		entries = append(entries, string(r.Slug))
	}
	if !slices.Equal(declared, entries) {
		t.Errorf("slugs are declared for %q, entries for %q", declared, entries)
	}
}
