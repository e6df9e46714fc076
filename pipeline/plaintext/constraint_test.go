package plaintext

import (
	"reflect"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
)

// The binder enforces what the `jsonschema` tags of trial say, so it has to know
// every word in them. A pattern is checked where its meaning is known; a new one
// needs a check of its own.
func TestTheBinderKnowsEveryTag(t *testing.T) {
	counts := map[string]int{}
	for _, facts := range []any{trial.DatasetFacts{}, trial.SessionFacts{}} {
		countTags(reflect.TypeOf(facts), counts)
	}
	for _, known := range []string{"enum", "minimum", "maximum", "minItems", "maxItems", "oneof_type"} {
		if counts[known] == 0 {
			t.Errorf("no tag says %q any more", known)
		}
		delete(counts, known)
	}
	if counts["pattern of Date"] != 1 {
		t.Error("the pattern of a date is gone")
	}
	delete(counts, "pattern of Date")
	delete(counts, "pattern of SiteURL") // [binder.siteURL]
	for word, n := range counts {
		t.Errorf("%d tags say %q, which the binder does not know", n, word)
	}
}

func countTags(typ reflect.Type, counts map[string]int) {
	switch typ.Kind() {
	case reflect.Slice, reflect.Map:
		countTags(typ.Elem(), counts)
	case reflect.Struct:
		for i := range typ.NumField() {
			field := typ.Field(i)
			for part := range strings.SplitSeq(field.Tag.Get("jsonschema"), ",") {
				word, _, _ := strings.Cut(part, "=")
				if word == "pattern" {
					word += " of " + field.Name
				}
				if word != "" {
					counts[word]++
				}
			}
			countTags(field.Type, counts)
		}
	}
}
