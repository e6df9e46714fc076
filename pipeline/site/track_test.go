package site

import (
	"encoding/json"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// The track page knows the plans that are still to be run, and no others.
func TestTrackPageHasThePlansToRun(t *testing.T) {
	f := newFixture()
	a, b := f.ds.Shoes[0], f.ds.Shoes[1]
	for i := range 2 {
		f.ds.Sessions[i].Plan = &trial.PlanFacts{Shoes: []string{a.ID, b.ID}, Order: []string{a.ID, b.ID, b.ID, a.ID},
			Effort: "power", Target: "270", BlockS: 420, RestS: units.Missing, WarmUpS: 600}
	}
	waiting := &f.ds.Sessions[1]
	waiting.Blocks = nil
	in := f.input()
	if site := publish(t, in); site["track/index.html"] != "" || site["track/plans.json"] != "" {
		t.Error("there is a track page without its program")
	}
	in.Track, in.Program.Version = []File{{Path: "boot.js", Text: []byte("//")}}, "1.2"
	site := publish(t, in)
	for _, part := range []string{`<script defer src="boot.js">`, `id="track-app"`, "wasm-unsafe-eval",
		`name="viewport"`} {
		if !strings.Contains(site["track/index.html"], part) {
			t.Errorf("the page lacks %q", part)
		}
	}
	var known trackPlans
	if err := json.Unmarshal([]byte(site["track/plans.json"]), &known); err != nil {
		t.Fatal(err)
	}
	if known.Program != "soletrial 1.2" || len(known.Shoes) != len(f.ds.Shoes) || len(known.Plans) != 1 {
		t.Fatalf("the page knows %+v", known)
	}
	p := known.Plans[0]
	if p.Session != waiting.ID || p.Date != waiting.Facts.Date || strings.Join(p.Order,
		" ") != a.ID+" "+b.ID+" "+b.ID+" "+a.ID ||
		*p.BlockS != 420 || p.RestS != nil || *p.WarmUpS != 600 || p.Target != "270" {
		t.Errorf("the plan is %+v", p)
	}
}
