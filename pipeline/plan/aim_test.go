package plan

import (
	"strings"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func TestKept(t *testing.T) {
	m := units.Missing
	sessions, width := trial.PlanAim{Sessions: 4, WidthPct: m}, trial.PlanAim{Sessions: m, WidthPct: 1.5}
	for _, c := range []struct {
		aim     trial.PlanAim
		now     Progress
		want    string
		reached bool
	}{
		{sessions, Progress{3, m}, "4 sessions; so far 3. The answer is not final.", false},
		{sessions, Progress{4, 2}, "4 sessions, and the plan was kept.", true},
		{sessions, Progress{5, 2}, "1 more session followed, so the plan was not kept.", true},
		{width, Progress{4, 1.5}, "1.5 % wide, which is reached.", true},
		{width, Progress{4, 1.6}, "now it is 1.6 % wide. The answer is not final", false},
		{width, Progress{1, m}, "1.5 % wide. The answer is not final.", false},
		{trial.PlanAim{Sessions: m, WidthPct: m}, Progress{2, 1}, "not settled in advance: 2 sessions so far", false},
		{trial.PlanAim{}, Progress{1, 1}, "not settled in advance: 1 session so far", false},
	} {
		got, reached := Kept(c.aim, c.now)
		if !strings.Contains(got, c.want) || reached != c.reached {
			t.Errorf("%+v, %+v: %q, %v; want %q, %v", c.aim, c.now, got, reached, c.want, c.reached)
		}
	}
}

// The first aim counts: a later plan cannot move it.
func TestAimOf(t *testing.T) {
	planned := func(id, effort string, sessions float64) trial.Session {
		return trial.Session{ID: id, Plan: &trial.PlanFacts{Effort: effort, Aim: trial.PlanAim{Sessions: sessions,
			WidthPct: units.Missing}}}
	}
	ds := &trial.Dataset{Sessions: []trial.Session{{ID: "0"}, planned("1", "power", units.Missing),
		planned("2", "pace", 9), planned("3", "power", 4), planned("4", "power", 8)}}
	if aim, id := AimOf(ds, trial.Power); aim.Sessions != 4 || id != "3" {
		t.Errorf("%+v of %q", aim, id)
	}
	if aim, id := AimOf(ds, trial.HeartRate); id != "" || units.Known(aim.Sessions) {
		t.Errorf("%+v of %q", aim, id)
	}
}
