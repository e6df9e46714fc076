package site

import (
	"strings"
	"testing"

	"soletrial/pipeline/trial"
)

// A planned session shows its order and from how many it was drawn, before it is
// run and afterwards; one without a plan says nothing of the kind.
func TestPlannedOrderIsShown(t *testing.T) {
	f := newFixture()
	a, b := f.ds.Shoes[0], f.ds.Shoes[1]
	f.ds.Sessions[1].Plan = &trial.PlanFacts{Shoes: []string{a.ID, b.ID}, Order: []string{a.ID, b.ID, b.ID, a.ID}, Draw: trial.PlanDraw{Seed: 7, Place: 1, Orders: 2}}
	site := publish(t, f.input())
	want := strings.Join([]string{a.Label, b.Label, b.Label, a.Label}, ", ") + ", drawn by seed 7 from 2 orders"
	if !strings.Contains(site["sessions/s2.html"], want) {
		t.Errorf("the page lacks %q", want)
	}
	if strings.Contains(site["sessions/s1.html"], "drawn by seed") {
		t.Error("a session without a plan shows one")
	}
}
