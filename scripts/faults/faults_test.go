package main

import "testing"

// A short campaign: every fault, but only a few kills of each kind. The long one
// is `make faults`; its counts are in README.md.
func TestFaults(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes about a minute")
	}
	c, err := newCampaign("../..", 3, 2)
	if err != nil {
		t.Fatal(err)
	}
	defer c.remove()
	c.short = true
	c.run("")
	t.Log("\n" + c.table())
	if !c.survived() {
		t.Errorf("%d of the checks failed", len(c.wrong))
	}
	tried := 0
	for _, tally := range c.tallies {
		tried += tally.tried
		if tally.tried == 0 && tally.note == "" {
			t.Errorf("%s: nothing was tried", tally.fault)
		}
	}
	if tried < 200 {
		t.Errorf("only %d faults were tried", tried)
	}
}
