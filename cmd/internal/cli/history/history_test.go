package history

import (
	"strings"
	"testing"

	"soletrial/pipeline/trial"
)

// Without git on the machine nothing can be proved, and nothing fails.
func TestHistoryWithoutGit(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	h := open(t.TempDir())
	if h.unavailable != "git is not installed here" {
		t.Errorf("unavailable because %q", h.unavailable)
	}
	r := h.planOf(&trial.Session{ID: "s", Plan: &trial.PlanFacts{}})
	if r.State != trial.PlanUnknown || !strings.Contains(r.Text, "git is not installed here") || r.Plan != "" {
		t.Errorf("the record is %+v", r)
	}
}
