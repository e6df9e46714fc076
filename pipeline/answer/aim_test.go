package answer

import (
	"slices"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func TestKept(t *testing.T) {
	m := units.Missing
	sessions, width := trial.PlanAim{Sessions: 4, WidthPct: m}, trial.PlanAim{Sessions: m, WidthPct: 1.5}
	for _, c := range []struct {
		aim      trial.PlanAim
		sessions int
		widthPct float64
		want     string
		kept     bool
	}{
		{sessions, 3, m, "4 sessions; so far 3. The answer is not final.", false},
		{sessions, 4, 2, "4 sessions, and the plan was kept.", true},
		{sessions, 5, 2, "1 more session followed, so the plan was not kept.", false},
		{width, 4, 1.5, "1.5 % wide, which is reached.", true},
		{width, 4, 1.6, "now it is 1.6 % wide. The answer is not final", false},
		{width, 1, m, "1.5 % wide. The answer is not final.", false},
		{trial.PlanAim{Sessions: m, WidthPct: m}, 2, 1, "No end was planned in advance: 2 sessions so far", false},
		{trial.PlanAim{}, 1, 1, "No end was planned in advance: 1 session so far", false},
	} {
		got, kept := aimKept(c.aim, c.sessions, c.widthPct)
		if !strings.Contains(got, c.want) || kept != c.kept {
			t.Errorf("%+v, %d, %g: %q, %v; want %q, %v", c.aim, c.sessions, c.widthPct, got, kept, c.want, c.kept)
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
	if aim, id := firstAim(ds, trial.Power); aim.Sessions != 4 || id != "3" {
		t.Errorf("%+v of %q", aim, id)
	}
	if aim, id := firstAim(ds, trial.HeartRate); id != "" || units.Known(aim.Sessions) {
		t.Errorf("%+v of %q", aim, id)
	}
}

// The answer says whether the aim was kept: among what supports it where it was, else among
// the doubts; that nothing was settled is one from the second session on.
func TestAimIsSaidWithTheAnswer(t *testing.T) {
	const unsettled = "No end was planned in advance: "
	for _, c := range []struct {
		sessions     int
		aim          float64
		doubt, check string
	}{
		{4, 4, "", "Planned in advance: 4 sessions, and the plan was kept."},
		{4, 6, "Planned in advance: 6 sessions; so far 4. The answer is not final.", ""},
		{4, units.Missing, unsettled + "4 sessions so far, and somebody may have looked at the answer after each.", ""},
		{1, units.Missing, "", ""},
	} {
		in := field{orders: times(2, abba...)[:c.sessions], advantage: map[string]float64{"birch": 0.03}, noise: 0.004,
			source: offFoot}.inputs()
		in.Dataset.Sessions[0].Plan = &trial.PlanFacts{Effort: "power", Aim: trial.PlanAim{Sessions: c.aim,
			WidthPct: units.Missing}}
		a, e, g := decided(t, in)
		said := NewSpeaker(in.Dataset, a).Say(e, g)
		if c.doubt != "" && !slices.Contains(said.Doubts, c.doubt) || c.check != "" &&
			!slices.Contains(said.Checks, c.check) {
			t.Errorf("%d of %g sessions: doubts %q, checks %q", c.sessions, c.aim, said.Doubts, said.Checks)
		}
		told := strings.Contains(strings.Join(append(said.Doubts, said.Checks...), " "), "in advance")
		if told != (c.doubt+c.check != "") {
			t.Errorf("%d of %g sessions: doubts %q, checks %q", c.sessions, c.aim, said.Doubts, said.Checks)
		}
	}
}
