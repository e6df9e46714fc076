package quality

import (
	"testing"

	"soletrial/pipeline/trial"
)

// A stop is overridden by a written reason: an override of its rule, for its block or
// for the whole session.
func TestOverride(t *testing.T) {
	override := func(rule trial.RuleSlug, block string) func(*fixture) {
		return func(w *fixture) {
			w.facts().Overrides = append(w.facts().Overrides,
				trial.Override{Rule: rule, Block: block, Reason: "the meter was read off wrongly"})
		}
	}
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

// What happens in a block that somebody excluded by hand (a rest walked without power, an
// overlap with the next block, a frozen sensor) is no finding: its reason says why it does
// not count. The blocks that do count keep theirs.
func TestExcludedBlocksHaveNoFindings(t *testing.T) {
	w := sound()
	for _, i := range []int{0, 2} {
		w.fill(i, trial.PowerW, 120)
	}
	w.block(0).End = w.block(1).Start + 5
	if n := len(of(EffortOff, w.findings())); n != 2 || len(of(BlockOverlap, w.findings())) != 1 {
		t.Fatalf("before: %+v", w.findings())
	}
	w.block(0).Excluded, w.block(0).Reason = true, "a rest"
	found := w.findings()
	for _, f := range found {
		if f.Block == "1" {
			t.Errorf("the excluded block has a finding: %+v", f)
		}
	}
	if off := of(EffortOff, found); len(off) != 1 || off[0].Block != "3" {
		t.Errorf("the block that counts: %+v", off)
	}
	if overlap := of(BlockOverlap, found); len(overlap) != 0 {
		t.Errorf("an overlap with an excluded block: %+v", overlap)
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
