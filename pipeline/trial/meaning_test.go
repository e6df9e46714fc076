package trial

import (
	"reflect"
	"regexp"
	"strings"
	"testing"
)

// Every key of the YAML files has a meaning, every meaning a key, and a default is
// said where there is one.
func TestEveryKeyHasAMeaning(t *testing.T) {
	used := map[string]bool{}
	for _, facts := range []any{DatasetFacts{}, SessionFacts{}, PlanFacts{}} {
		meaningsUsed(t, reflect.TypeOf(facts), used)
	}
	for name := range meanings {
		if !used[name] {
			t.Errorf("%q is the meaning of no key", name)
		}
	}
	if len(used) < 60 {
		t.Errorf("only %d keys", len(used))
	}
}

func meaningsUsed(t *testing.T, holder reflect.Type, used map[string]bool) {
	for field := range holder.Fields() {
		key := KeyOf(field)
		if text := Meaning(holder, key); text == "" || strings.Contains(text, "{") {
			t.Errorf("%s.%s means %q", holder.Name(), key, text)
		}
		used[holder.Name()+"."+key] = true
		inner := field.Type
		if inner.Kind() == reflect.Slice || inner.Kind() == reflect.Map {
			inner = inner.Elem()
		}
		if inner.Kind() == reflect.Struct {
			meaningsUsed(t, inner, used)
		}
	}
}

// A default is written in one place only.
func TestMeaningsTakeTheirDefaults(t *testing.T) {
	for name, text := range meanings {
		holder, _, _ := strings.Cut(name, ".")
		hasDefaults := holder == "Limits" || holder == "Method" || holder == "Trim"
		if hasDefaults && regexp.MustCompile(`[Dd]efault (is )?[0-9]`).MatchString(text) {
			t.Errorf("%s writes its default itself: %q", name, text)
		}
	}
	for key, want := range map[string]string{
		"gap_s": "Longest time between two samples that is not a gap, seconds. Default 5.",
		"step_product_pct": "Cadence times step length may differ from speed by this much, percent. Default 2; " +
			"rounding explains 0.7.",
		"nothing": "",
	} {
		if got := Meaning(reflect.TypeFor[Limits](), key); got != want {
			t.Errorf("%s: %q, want %q", key, got, want)
		}
	}
	if got := Meaning(reflect.TypeFor[Method](), "drift"); !strings.HasSuffix(got, "Default linear.") {
		t.Errorf("drift: %q", got)
	}
}
