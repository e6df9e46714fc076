package site

import (
	"strings"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/english"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/markup"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// cardBody is the answer on the first screen.
type cardBody struct {
	Advice, Claim, Also string
	Shoes               []shoe // the leading ones
	Big, BigNote        string // by how much, and what that is
	Bars                []chanceBar
	Caption             string // of the bars
	Chance, Behind      string // heads of their columns
	Scope               string // who, how often, since when
	Evidence            []gradeStep
}

// chanceBar is one shoe's chance of being the best.
type chanceBar struct {
	Shoe           shoe
	Bar            markup.HTML
	Chance, Behind string
	Short          bool // the name fits on a line beside the bar
}

// gradeStep is one grade of the scale of evidence.
type gradeStep struct {
	Name string
	Here bool
}

// card makes the answer card of a group; nil for none.
func (s *site) card(e *answer.Effort, g *answer.Group) cardBody {
	said := s.speaker.Top()
	card := cardBody{Advice: nonBreaking(said.Advice), Claim: nonBreaking(said.Claim), Also: nonBreaking(said.Also),
		Scope: s.scope()}
	if g == nil {
		return card
	}
	// The shoes to choose from, and by how much the leader is ahead.
	if g.Status == decide.Fastest || g.Status == decide.Leading || g.Status == decide.Same {
		for _, p := range g.Places {
			if s.leads(e, g, p.Shoe) {
				card.Shoes = append(card.Shoes, s.shoe(p.Shoe, ""))
			}
		}
	}
	card.Big, card.BigNote = s.worth(e, g)
	// A bar for each shoe.
	card.Caption = "Chance of being the fastest, and how far behind " + s.behindHeading(e)
	card.Chance, card.Behind = "Chance to be fastest", "Behind"
	switch {
	case e.Outcome == trial.Heart:
		card.Caption, card.Chance = "Chance of being the easiest at the same pace", "Chance to be easiest"
	case s.speaker.Race != nil:
		card.Behind = "Behind, min"
		if g.Status != decide.Fastest && g.Status != decide.Leading { // else the large time says so
			card.Scope += ". Minutes are over " + nonBreaking(answer.RaceName(s.speaker.Race.DistanceM)) + "."
		}
	}
	for i := range g.Places {
		p := &g.Places[i]
		bar := chanceBar{Shoe: s.shoe(p.Shoe, ""), Chance: answer.Chance(p.Best),
			Bar: markup.HTML(figure.ChanceBar(s.place(p.Shoe), p.Best)), Behind: "first"}
		bar.Short = len(bar.Shoe.Label) <= 12
		if i > 0 {
			bar.Behind = s.behind(e, p.Pair)
		}
		card.Bars = append(card.Bars, bar)
	}
	for _, grade := range grades {
		card.Evidence = append(card.Evidence, gradeStep{string(grade), grade == g.Lead.Evidence})
	}
	return card
}

// grades are the grades of evidence, the weakest first.
var grades = []decide.Evidence{decide.NoEvidence, decide.Thin, decide.Fair, decide.Solid}

// leads reports whether a shoe is among the leading ones.
func (s *site) leads(e *answer.Effort, g *answer.Group, shoe string) bool {
	for _, j := range g.Leading {
		if e.Posterior.Shoes[j] == shoe {
			return true
		}
	}
	return false
}

// worth says large by how much the leader is ahead of the second; nothing where the answer
// claims no order.
func (s *site) worth(e *answer.Effort, g *answer.Group) (big, note string) {
	second := s.speaker.Label(g.Lead.Reference)
	size := answer.Size(g.Lead.D.Mean)
	switch {
	case g.Status == decide.Open || g.Status == decide.Blocked:
		return "", ""
	case g.Status == decide.Same:
		return nonBreaking(answer.Size(g.Lead.D.ApartAtMost)), "apart at most"
	case e.Outcome == trial.Heart:
		return nonBreaking(size), "lower heart rate than in " + second
	case s.speaker.Race == nil:
		return nonBreaking(size), "faster than " + second
	}
	clock, unit, _ := strings.Cut(answer.Seconds(s.speaker.RaceTime(e, g.Lead, *s.speaker.Race).Mid), " ")
	return clock,
		nonBreaking(unit + " quicker in " + s.speaker.Label(g.Lead.Shoe) + " than in " + second + " over " +
			answer.RaceName(s.speaker.Race.DistanceM) + " (" + size + ")")
}

// behindHeading says what the last column of the bars holds.
func (s *site) behindHeading(e *answer.Effort) string {
	switch {
	case e.Outcome == trial.Heart:
		return "heart rate"
	case s.speaker.Race == nil:
		return "speed"
	}
	return "over " + answer.RaceName(s.speaker.Race.DistanceM)
}

// behind is how far a shoe is behind the leader: in time where it can be told.
func (s *site) behind(e *answer.Effort, p *answer.Pair) string {
	switch {
	case e.Outcome == trial.Heart:
		return nonBreaking("+" + answer.Size(p.D.Mean))
	case s.speaker.Race == nil:
		return nonBreaking("\u2212" + answer.Size(p.D.Mean))
	}
	return clockChange(s.speaker.RaceTime(e, p, *s.speaker.Race).Mid)
}

// scope says who ran, how often and when: "1 runner, 8 sessions, 7 March to 25 April 2026".
func (s *site) scope() string {
	runners, run := map[string]bool{}, s.ds.SessionsRun()
	first, last := "", ""
	for _, session := range run {
		f := &session.Facts
		runners[f.Runner] = true
		if first == "" || f.Date < first {
			first = f.Date
		}
		last = max(last, f.Date)
	}
	if len(run) == 0 {
		return "No sessions yet"
	}
	return units.Count(len(runners), "runner") + ", " + units.Count(len(run), "session") + ", " +
		english.Dates(first, last)
}
