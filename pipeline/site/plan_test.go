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
	f.ds.Sessions[1].Plan = &trial.PlanFacts{Shoes: []string{a.ID, b.ID}, Order: []string{a.ID, b.ID, b.ID, a.ID},
		Draw: trial.PlanDraw{Seed: 7, Place: 1, Orders: 2}}
	site := publish(t, f.input())
	want := "Order planned: A B B A drawn by seed 7 from 2 orders"
	if !strings.Contains(strings.Join(strings.Fields(plain(">"+site["sessions/s2.html"])), " "), want) {
		t.Errorf("the page lacks %q", want)
	}
	if strings.Contains(site["sessions/s1.html"], "drawn by seed") {
		t.Error("a session without a plan shows one")
	}
}

// The page shows which commit brought the plan, which the samples, and when; what
// departed from the plan; and without a history, that nothing is proved.
func TestPlanIsProvedByCommits(t *testing.T) {
	f := newFixture()
	a, b := f.ds.Shoes[0].ID, f.ds.Shoes[1].ID
	for i := range 3 {
		f.ds.Sessions[i].Plan = &trial.PlanFacts{Shoes: []string{a, b}, Order: []string{a, b, b, a}, Effort: "power",
			Target: "270", BlockS: 420, RestS: 180, Draw: trial.PlanDraw{Seed: 7, Place: 1, Orders: 2}}
	}
	in := f.input()
	in.Plans = []trial.PlanHistory{
		{Session: "s1", State: trial.PlanBefore, Plan: "aaaa1111", PlanTime: "2031-03-13T20:00:00+01:00",
			Samples: "bbbb2222", SamplesTime: "2031-03-14T21:00:00+01:00", Text: "planned before the samples"},
		{Session: "s2", State: trial.PlanAfter, Plan: "aaaa1111", PlanTime: "2031-04-16T20:00:00Z", Samples: "bbbb2222",
			SamplesTime: "2031-04-14T21:00:00Z", Text: "it proves <nothing>"},
	}
	site := publish(t, in)
	rows := rowsOf(t, site["sessions/s1.html"], "The commits that show it")
	if len(rows) != 2 || strings.Join(rows[0], "|") != "the plan|2031-03-13 20:00:00+01:00|aaaa1111" ||
		strings.Join(rows[1], "|") != "the first samples|2031-03-14 21:00:00+01:00|bbbb2222" {
		t.Errorf("commits %q", rows)
	}
	if after := rowsOf(t, site["sessions/s2.html"], "The commits that show it"); len(after) != 2 ||
		after[0][0] != "the first samples" {
		t.Errorf("commits %q", after)
	}
	for page, needs := range map[string][]string{
		"sessions/s1.html": {"Planned before the samples.", "Detected, plan against blocks:</p>",
			"Lane 2 for one lap of block 3."},
		"sessions/s2.html": {"It proves &lt;nothing&gt;."},
		"sessions/s3.html": {"The date of the plan cannot be proved"},
		"sessions/s4.html": {"<p>None.</p>"},
	} {
		for _, need := range needs {
			if !strings.Contains(site[page], need) {
				t.Errorf("%s lacks %q", page, need)
			}
		}
	}
	planned := map[string]string{}
	for _, row := range rowsOf(t, site["sessions/index.html"], "Sessions, newest first") {
		planned[row[0]] = row[5]
	}
	if planned["14 March 2031 (s1)"] != "before the run" ||
		planned["14 April 2031 (s2)"] != "not proved to be before the run" ||
		planned["14 May 2031 (s3)"] != "date not proved" || planned["14 June 2031 (s4)"] != "no plan" {
		t.Errorf("planned %v", planned)
	}
}

// A session that is planned and still to be run says so, and nothing of what a run would have.
func TestSessionToCome(t *testing.T) {
	f := newFixture()
	f.ds.Sessions = append(f.ds.Sessions, trial.Session{ID: "2031-09-14-power",
		Facts: trial.SessionFacts{Date: "2031-09-14"}, Plan: &trial.PlanFacts{Order: []string{"harrow", "kestrel"}}})
	in := f.input()
	if page := publish(t, in)["sessions/2031-09-14-power.html"]; strings.Contains(page, "track/index.html") {
		t.Error("the page leads to a track page that is not there")
	}
	in.Track = []File{{Path: "track.css", Text: []byte("p {}")}}
	site := publish(t, in)
	page := site["sessions/2031-09-14-power.html"]
	if !strings.Contains(page, `still to be run. <a href="../track/index.html#2031-09-14-power">`) ||
		!strings.Contains(page, "Order planned:") || !strings.Contains(page, "</abbr> Kestrel Longford Distance</li>") {
		t.Error("the page does not say that it is planned")
	}
	for _, heading := range []string{"Findings", "Deviations"} {
		if strings.Contains(page, ">"+heading+"</h2>") {
			t.Errorf("the page has %s of a session that was not run", heading)
		}
	}
	row := rowsOf(t, site["sessions/index.html"], "Sessions, newest first")[0]
	if row[0] != "14 September 2031" || row[1] != "still to be run" || row[4] != "" {
		t.Errorf("the list says %q", row)
	}
	if !strings.Contains(site["index.html"], "1 runner, 6 sessions, 14 March to 14 August 2031") {
		t.Error("the answer counts it as run")
	}
}
