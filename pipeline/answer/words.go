package answer

import (
	"math"
	"slices"
	"strings"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/english"
	"soletrial/pipeline/forecast"
	"soletrial/pipeline/trial"
)

// Sentences is an answer in words. They are the same wherever the answer is told; an empty
// one is left out.
type Sentences struct {
	Advice   string   // what to do: "Race in Fennock."
	Claim    string   // how sure: "Fennock is very likely the fastest (93 %)."
	Size     string   // by how much: "Over a half marathon it is about 46 seconds quicker than Quenby (0.8 %)."
	Also     string   // what the advice leaves open: "Quenby may be just as fast."
	Evidence string   // "Evidence: fair."
	Stronger []string // what would make the evidence stronger, most urgent first
	Doubts   []string // what speaks against the answer, or was not checked
	Checks   []string // what supports it
}

// Headline is the first thing to say: the advice, how sure and by how much.
func (s Sentences) Headline() string { return english.Sentences(s.Advice, s.Claim, s.Size, s.Also) }

// Speaker says answers of one dataset.
type Speaker struct {
	Dataset *trial.Dataset
	Answers *Answers
	// Race is the race over which differences are told in time; without one they are told in
	// percent only.
	Race *forecast.Race
}

// NewSpeaker says answers over the longest race that the dataset names.
func NewSpeaker(ds *trial.Dataset, a *Answers) Speaker {
	return Speaker{Dataset: ds, Answers: a, Race: DefaultRace(ds.Facts.Method)}
}

// Label is a shoe's name for people.
func (s Speaker) Label(id string) string {
	if shoe := s.Dataset.Shoe(id); shoe != nil && shoe.Label != "" {
		return shoe.Label
	}
	return id
}

func (s Speaker) labels(ids []string) []string {
	names := make([]string, len(ids))
	for i, id := range ids {
		names[i] = s.Label(id)
	}
	return names
}

// Top says the answer of the dataset.
func (s Speaker) Top() Sentences {
	e, g := s.Answers.Top()
	if g == nil {
		return Sentences{Advice: "No answer yet.",
			Claim: "Two shoes can be compared once they were run at the same effort in one session."}
	}
	said := s.Say(e, g)
	doubts, checks := s.otherEfforts()
	said.Doubts, said.Checks = append(doubts, said.Doubts...), append(checks, said.Checks...)
	return said
}

// Say says the answer of one group at one effort.
func (s Speaker) Say(e *Effort, g *Group) Sentences {
	said := Sentences{
		Evidence: "Evidence: " + string(g.Lead.Evidence) + ".", Stronger: s.Stronger(g.Lead),
		Size: s.size(e, g),
	}
	leader, second := s.Label(g.Places[0].Shoe), s.Label(g.Places[1].Shoe)
	best, good := "the fastest", "fast"
	if e.Outcome == trial.Heart {
		best, good = "the easiest at the same pace", "easy"
	}
	claim := leader + " is " + LikelyToBe(g.Places[0].Best, best) + " (" + Chance(g.Places[0].Best) + ")."
	leading := s.labels(e.inOrder(g.Leading, g))
	// Advice and claim, by what the answer is.
	switch g.Status {
	case decide.Same:
		same := e.same(g)
		said.Advice = "Race in " + english.List(s.labels(same), "or") + "."
		said.Claim, said.Size = s.practicallySame(e, same), ""
	case decide.Fastest:
		said.Advice, said.Claim = "Race in "+leader+".", claim
		if !e.sensorsProven(g.Lead) {
			said.Claim = "Unless a sensor misled, " + claim
		}
		if g.Lead.HeartCheck.Higher {
			said.Also = "Heart rate was higher in it: it may have been run harder."
		}
	case decide.Leading:
		said.Advice, said.Claim = "Race in "+english.List(leading, "or")+".", claim
		if alike := s.labels(g.notApart(e.inOrder(g.Leading, g))); len(alike) > 0 {
			said.Also = english.List(alike, "or") + " may be just as " + good + "."
		}
	case decide.Open:
		said.Advice = "No clear winner yet."
		said.Claim = strings.TrimSuffix(claim, ".") + ", but " + s.mayBe(e, g, good) + "."
		said.Also = leader + " and " + second + " are no more than " + Size(g.Lead.D.ApartAtMost) + " apart."
	case decide.Blocked:
		said.Advice, said.Size = "No answer yet: a sensor could have made it.", ""
		said.Claim = english.Capitalise(g.BlockedBy) + ", and without that the answer changes."
	}
	said.Doubts, said.Checks = s.doubts(e, g)
	return said
}

// inOrder puts shoes of a group in its order, the best by estimate first, by their ids.
func (e *Effort) inOrder(shoes []int, g *Group) (ids []string) {
	for _, j := range g.Order {
		if slices.Contains(shoes, j) {
			ids = append(ids, e.Posterior.Shoes[j])
		}
	}
	return ids
}

// mayBe says which shoes an open answer leaves beside the leader.
func (s Speaker) mayBe(e *Effort, g *Group, good string) string {
	alike := g.notApart(e.inOrder(g.Order, g))
	if len(alike) == len(g.Order)-1 {
		return "any of these shoes may be"
	}
	return english.List(s.labels(alike), "or") + " may be just as " + good
}

// notApart returns those of some shoes whose interval against the leader holds 0. A shoe may
// be among the leading ones and still be behind the leader for sure: it takes little chance of
// being the best to be needed for the 97.5 %.
func (g *Group) notApart(shoes []string) (alike []string) {
	for i := range g.Pairs {
		p := &g.Pairs[i]
		if p.Shoe == g.Places[0].Shoe && slices.Contains(shoes, p.Reference) && p.D.Low <= 0 {
			alike = append(alike, p.Reference)
		}
	}
	return alike
}

// same lists the shoes that are practically the same, the leader first: it and the other
// leading ones, or the second where it leads alone.
func (e *Effort) same(g *Group) []string {
	shoes := append([]int{g.Leader}, g.Leading...)
	if len(g.Leading) == 1 && g.Leading[0] == g.Leader {
		shoes = append(shoes, g.Second)
	}
	return e.inOrder(shoes, g)
}

// practicallySame says how far the leader is from each of the others. It says nothing of the
// others among themselves, of which nothing was asked.
func (s Speaker) practicallySame(e *Effort, shoes []string) string {
	most := 0.0
	for _, other := range shoes[1:] {
		most = math.Max(most, e.Pair(shoes[0], other).D.ApartAtMost)
	}
	apart := ": no more than " + Size(most) + " apart"
	if len(shoes) == 2 {
		return s.Label(shoes[0]) + " and " + s.Label(shoes[1]) + " are practically the same" + apart + "."
	}
	others := english.List(s.labels(shoes[1:]), "and")
	return others + " are practically the same as " + s.Label(shoes[0]) + apart + " from it."
}

// size says by how much the leader is ahead of the second, and of the last.
func (s Speaker) size(e *Effort, g *Group) string {
	if !visible(g.Lead.D.Mean) {
		return ""
	}
	all := s.ahead(e, g.Lead)
	if last := g.Places[len(g.Places)-1].Pair; len(g.Places) > 2 {
		all += " and " + s.ahead(e, last)
	}
	if e.Outcome == trial.Heart {
		return "At the same pace its heart rate is " + all + "."
	}
	if s.Race == nil {
		return "At the same effort it is " + all + "."
	}
	return "Over " + RaceName(s.Race.DistanceM) + " it is about " + all + "."
}

// ahead says how far the better shoe of a pair is ahead: "46 seconds quicker than Quenby (0.8 %)",
// without a race "0.8 % faster than Quenby", at the same pace "0.8 % lower than in Quenby".
func (s Speaker) ahead(e *Effort, p *Pair) string {
	other, percent := s.Label(p.Reference), Size(p.D.Mean)
	switch {
	case e.Outcome == trial.Heart:
		return percent + " lower than in " + other
	case s.Race == nil:
		return percent + " faster than " + other
	}
	return Seconds(s.RaceTime(e, p, *s.Race).Mid) + " quicker than " + other + " (" + percent + ")"
}

// RaceName is a distance as one says it after "over".
func RaceName(metres float64) string {
	for _, d := range forecast.Distances {
		if d.Metres == metres {
			switch d.Name {
			case "half":
				return "a half marathon"
			case "marathon", "mile":
				return "a " + d.Name
			}
		}
	}
	return forecast.DistanceText(metres)
}

// RaceTime is how much time a difference is worth over a race, in seconds, positive where the
// better shoe saves time: the middle of the published curves with its interval, and the range
// of the curves.
type RaceTime struct{ Mid, Low, High, Least, Most float64 }

// RaceTime carries a pair's difference in speed to a race. A pair whose outcome is heart rate
// has none.
func (s Speaker) RaceTime(e *Effort, p *Pair, race forecast.Race) RaceTime {
	return raceTime(p.D, e.MeanSpeed(p.Reference), race)
}

func raceTime(d decide.Difference, testSpeed float64, race forecast.Race) RaceTime {
	r := forecast.RangeOf(forecast.Rows(forecast.Effect{Estimate: decide.Percent(d.Mean), Low: decide.Percent(d.Low),
		High: decide.Percent(d.High), TestSpeed: testSpeed}, race))
	return RaceTime{Mid: -(r.Min + r.Max) / 2, Low: -r.High, High: -r.Low, Least: -r.Max, Most: -r.Min}
}

// MeanSpeed is the mean speed of a shoe's blocks at the effort, m/s.
func (e *Effort) MeanSpeed(shoe string) float64 {
	sum, n := 0.0, 0.0
	for i := range e.blocks {
		if b := &e.blocks[i]; b.Shoe == shoe && b.Windows[0].Speed > 0 {
			sum += b.Windows[0].Speed
			n++
		}
	}
	return sum / n
}
