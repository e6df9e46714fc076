package app

import (
	"testing"

	"soletrial/viewer/internal/example"
	"soletrial/viewer/load"
)

// What is prepared before the first change are the published answers, worked out from the sums;
// nothing that is seen changes.
func TestPrepareWorksOutThePublishedAnswers(t *testing.T) {
	whole := summed(t, answered(t))
	part := *only(whole, example.First)
	part.Sums = whole.Sums
	m, derived := opening(t, &part), opening(t, whole)
	shown := m.Standings()
	m.Prepare()
	if m.fromSums == nil {
		t.Fatal("nothing is prepared")
	}
	if m.FromSums() || m.Changed() {
		t.Errorf("what is shown is from the sums: %v, changed: %v", m.FromSums(), m.Changed())
	}
	sameStandings(t, m.Standings(), shown, 0)
	sameStandings(t, m.listStandings(m.fromSums), derived.PublishedStandings(), 0.05)
}

// With the samples there is no need to prepare anything, and many sums would take too long.
func TestPrepareLeavesTheRestAlone(t *testing.T) {
	whole := summed(t, answered(t))
	many, index := *only(whole, example.First), *whole.Index
	many.Sums, many.Index = whole.Sums, &index
	index.Sums = []load.File{{Path: "sums/2026.csv", Bytes: smallSums + 1}}
	for name, bundle := range map[string]*load.Bundle{"all samples": whole, "many sums": &many} {
		m := opening(t, bundle)
		m.Prepare()
		if m.fromSums != nil {
			t.Errorf("with %s the published answers are worked out from the sums", name)
		}
	}
}
