package site

import (
	"html"
	"strings"
	"testing"

	"soletrial/pipeline/quality"
	"soletrial/pipeline/trial"
)

func answers(s *site) map[string]string {
	all := map[string]string{}
	for _, item := range s.reportItems() {
		all[item.number] = item.answer
	}
	return all
}

// CENT 2015 has items 1 to 25 (doi 10.1136/bmj.h1738): all are there, those that
// the data cannot answer say so, and no plan is said to be no plan.
func TestReporting(t *testing.T) {
	in := newFixture().input()
	s := newSite(in)
	named := ""
	for _, item := range s.reportItems() {
		named += " " + strings.ReplaceAll(strings.TrimRight(item.number, "abc"), ",", "")
	}
	for _, number := range strings.Fields("1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20 22 23 24 25") {
		if !strings.Contains(strings.NewReplacer("a ", " ", "c ", " ", "b ", " ").Replace(named+" "), " "+number+" ") {
			t.Errorf("item %s is missing in %q", number, named)
		}
	}
	got := answers(s)
	for number, want := range map[string]string{
		"3a": noPlan, "8a": noPlan, "4c": "", "7a": "", "7b": "no rule for stopping is in the data", "19": "",
		"3b": "6 deviations", "4b": "Mill Lane track (track)", "11a": "power only", "13a, 13c": "32 blocks run, 1 " +
			"excluded", "14a": "2031-03-14 to 2031-08-14", "25": "All four pairs are invented.",
	} {
		if (want == "") != (got[number] == "") || !strings.Contains(got[number], want) {
			t.Errorf("item %s: %q, want %q", number, got[number], want)
		}
	}
	// counted by hand
	if caption := s.reporting().Caption; !strings.HasSuffix(caption, ": 18 of 28 answered from the data") {
		t.Errorf("%q", caption)
	}
	page := html.UnescapeString(publish(t, in)["method.html"])
	if strings.Count(page, "not answered by the data") < 5 ||
		!strings.Contains(page, "What a trial of one person should report") {
		t.Error("the method page does not say what is missing")
	}
}

func TestReportingWithPlan(t *testing.T) {
	in := newFixture().input()
	s := newSite(in)
	s.ds.Sessions[0].Plan = &trial.PlanFacts{Order: []string{"harrow", "kestrel", "kestrel", "harrow"}, BlockS: 420,
		RestS: 180, Draw: trial.PlanDraw{Orders: 2}, Rules: trial.PlanRules{Primary: "speed", WorthwhilePct: 0.75}}
	s.result.Findings = append(s.result.Findings,
		trial.Finding{Session: s.ds.Sessions[0].ID, Rule: quality.PlanDeparted},
		trial.Finding{Session: s.ds.Sessions[0].ID, Rule: quality.PlanDeparted})
	got := answers(s)
	for number, want := range map[string]string{
		"3a":       "1 session of 6 with a plan: 4 blocks of 7:00 with 3:00 of rest",
		"8a":       "each from 2 equally likely orders",
		"6a":       "plans settle speed",
		"7a":       "(4 blocks) and the difference that would matter (0.75 %)",
		"3b":       "2 deviations from a plan found, in 1 session",
		"13a, 13c": "2 deviations from a plan",
		"12":       "balance which shoe follows which",
		"23, 24":   "plan.yaml of 1 session",
	} {
		if !strings.Contains(got[number], want) {
			t.Errorf("item %s: %q, want %q", number, got[number], want)
		}
	}
}
