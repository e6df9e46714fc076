package quality

import (
	"testing"

	"soletrial/pipeline/trial"
)

// A stop is overridden by a written reason: an override of its rule, for its block or
// for the whole session, or the block being left out by hand, which comes first.
func TestOverride(t *testing.T) {
	override := func(rule trial.RuleSlug, block string) func(*fixture) {
		return func(w *fixture) {
			w.facts().Overrides = append(w.facts().Overrides,
				trial.Override{Rule: rule, Block: block, Reason: "the meter was read off wrongly"})
		}
	}
	leaveOut := func(w *fixture) { w.block(0).Excluded, w.block(0).Reason = true, "lost count" }
	const reason = "the meter was read off wrongly"
	for _, c := range []struct {
		name      string
		overrides []func(*fixture)
		want      string
	}{
		{"nothing", nil, ""},
		{"an override of the block", []func(*fixture){override("effort-off", "1")}, reason},
		{"an override of the session", []func(*fixture){override("effort-off", "")}, reason},
		{"an override of another block", []func(*fixture){override("effort-off", "3")}, ""},
		{"an override of another rule", []func(*fixture){override("step-product", "1")}, ""},
		{"left out by hand", []func(*fixture){leaveOut}, "left out by hand: lost count"},
		{"both", []func(*fixture){override("effort-off", "1"), leaveOut}, "left out by hand: lost count"},
		{"the first of two overrides that fit",
			[]func(*fixture){override("step-product", "1"), override("effort-off", "")}, reason},
	} {
		w := sound()
		w.fill(0, trial.PowerW, 200)
		for _, override := range c.overrides {
			override(w)
		}
		found := of("effort-off", w.findings())
		if len(found) != 1 || found[0].Severity != trial.Stop {
			t.Fatalf("%s: %+v, want one stop", c.name, found)
		}
		if f := found[0]; f.Override != c.want || f.Holds() != (c.want == "") {
			t.Errorf("%s: overridden by %q (holds: %v), want %q", c.name, f.Override, f.Holds(), c.want)
		}
	}
}

// A stop about the whole session is overridden for the session only, and a warning
// needs no override.
func TestOverrideOfASession(t *testing.T) {
	w := sound()
	w.samples().Elapsed[50] = 48.5
	w.fill(3, trial.PowerW, 260)
	w.facts().Overrides = []trial.Override{{Rule: "time-backwards", Block: "4", Reason: "only block 4"},
		{Rule: "effort-off", Reason: "gusts"}}
	if f := of("time-backwards", w.findings())[0]; !f.Holds() {
		t.Errorf("an override of one block lets a stop of the session pass: %+v", f)
	}
	if f := of("effort-off", w.findings())[0]; f.Override != "" || f.Holds() {
		t.Errorf("a warning has an override: %+v", f)
	}
	w.facts().Overrides[0].Block = ""
	if f := of("time-backwards", w.findings())[0]; f.Holds() || f.Override != "only block 4" {
		t.Errorf("the override of the session does not let its stop pass: %+v", f)
	}
}

// Callers own what Rules returns.
func TestRulesIsACopy(t *testing.T) {
	rules := Rules()
	rules[0].Slug = "changed"
	if Rules()[0].Slug == "changed" {
		t.Error("changing the result of Rules changes the rule table")
	}
	if _, ok := RuleNamed("changed"); ok {
		t.Error("RuleNamed finds a rule that there is none of")
	}
}
