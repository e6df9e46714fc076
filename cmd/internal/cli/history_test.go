package cli

import (
	"strings"
	"testing"

	"soletrial/pipeline/trial"
)

// Without git on the machine nothing is proved, and nothing fails.
func TestHistoryWithoutGit(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	h := openHistory(t.TempDir())
	if h.why != "git is not installed here" {
		t.Errorf("told %q", h.why)
	}
	r := h.planOf(&trial.Session{ID: "s", Plan: &trial.PlanFacts{}})
	if r.State != trial.PlanUnknown || !strings.Contains(r.Text, "git is not installed here") || r.Plan != "" {
		t.Errorf("the record is %+v", r)
	}
}
