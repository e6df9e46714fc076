package answer

import (
	"soletrial/pipeline/decide"
	"soletrial/pipeline/english"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Earlier is a row of an earlier ranking: what ranking.csv said of one shoe.
type Earlier struct {
	Effort trial.Effort
	Group  int
	Status decide.Status
	Place  int // 1 for the best
	Shoe   string
	Best   float64 // chance of being the best
}

// statusWords say in a few words what a status means.
var statusWords = map[decide.Status]string{
	decide.Same: "practically the same", decide.Fastest: "one shoe the fastest",
	decide.Leading: "some shoes slower, the fastest of the others not known", decide.Open: "no clear winner",
	decide.Blocked: "no answer, because a sensor could have made it",
}

// Change says what changed in the answer since an earlier ranking: the leading shoe, the
// kind of answer, or the chance only. It returns "" where there was none.
func (s Speaker) Change(before []Earlier) string {
	if len(before) == 0 {
		return ""
	}
	e, g := s.Answers.Top()
	if g == nil {
		return "There is no longer an answer."
	}
	leader := &g.Places[0]
	old := formerLeader(before, e.Effort, leader.Shoe)
	best := "the fastest"
	if e.Outcome == trial.Heart {
		best = "the easiest at the same pace"
	}
	now := s.Label(leader.Shoe) + " is now " + LikelyToBe(leader.Best, best) + " (" + Chance(leader.Best) + ")"
	quiet := g.Status == decide.Blocked || g.Status == decide.Same // these claim no best shoe
	switch {
	case quiet && old != nil && old.Status == g.Status:
		return "The answer has not changed."
	case quiet:
		return english.Capitalise(statusWords[g.Status]) + " now: " + s.Say(e, g).Claim
	case old == nil:
		return "New: an answer at " + e.Effort.Same() + ". " + now + "."
	case old.Shoe != leader.Shoe:
		return now + "; it was " + s.Label(old.Shoe) + " (" + Chance(old.Best) + ")."
	case old.Status != g.Status && statusWords[old.Status] != "":
		return english.Capitalise(statusWords[g.Status]) + " now, before: " + statusWords[old.Status] + ". " + now +
			"; it was " + Chance(old.Best) + "."
	case Chance(old.Best) != Chance(leader.Best):
		return "The answer is as before. " + now + "; it was " + Chance(old.Best) + "."
	}
	return "The answer has not changed."
}

// formerLeader is the best of the shoes that were ranked at an effort, in the group of a
// shoe where it was in one.
func formerLeader(before []Earlier, effort trial.Effort, shoe string) *Earlier {
	group := 0
	for i := range before {
		b := &before[i]
		if b.Effort == effort && units.Known(b.Best) && (group == 0 || b.Shoe == shoe) {
			group = b.Group
		}
	}
	for i := range before {
		if b := &before[i]; b.Effort == effort && b.Group == group && b.Place == 1 {
			return b
		}
	}
	return nil
}
