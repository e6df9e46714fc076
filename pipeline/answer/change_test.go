package answer

import (
	"strings"
	"testing"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/trial"
)

// What changed since an earlier ranking: the leader, the kind of answer, the chance, nothing.
func TestChange(t *testing.T) {
	f := statusFields[decide.Fastest]
	f.source = offFoot
	in := f.inputs()
	a, _, g := decided(t, in)
	s := NewSpeaker(in.Dataset, a)
	leader, second := g.Places[0].Shoe, g.Places[1].Shoe
	ranking := func(first, next string, status decide.Status, best float64) []Earlier {
		return []Earlier{{trial.Pace, 1, decide.Open, 1, next, 0.6}, {trial.Power, 1, status, 1, first, best},
			{trial.Power, 1, status, 2, next, 1 - best}}
	}
	for _, c := range []struct {
		name   string
		before []Earlier
		want   []string // parts of the sentence
	}{
		{"no ranking", nil, nil},
		{"another leader", ranking(second, leader, decide.Leading, 0.7),
			[]string{s.Label(leader) + " is now ", "; it was " + s.Label(second) + " (70 %)."}},
		{"another kind", ranking(leader, second, decide.Open, 0.5),
			[]string{"One shoe the fastest now, before: no clear winner. ", "; it was 50 %."}},
		{"another chance", ranking(leader, second, decide.Fastest, 0.98),
			[]string{"The answer is as before. ", "; it was 98 %."}},
		{"nothing", ranking(leader, second, decide.Fastest, g.Places[0].Best), []string{"The answer has not changed."}},
		{"no answer at this effort before", ranking(leader, second, decide.Open, 0.5)[:1],
			[]string{"New: an answer at the same power. "}},
	} {
		got := s.Change(c.before)
		if (got == "") != (len(c.want) == 0) {
			t.Errorf("%s: %q", c.name, got)
		}
		for _, part := range c.want {
			if !strings.Contains(got, part) {
				t.Errorf("%s: no %q in %q", c.name, part, got)
			}
		}
	}
	s.Answers = &Answers{Headline: -1}
	if got := s.Change(ranking(leader, second, decide.Open, 0.5)); got != "There is no longer an answer." {
		t.Errorf("no answer: %q", got)
	}
}
