package app

import (
	"slices"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Standing is the answer for the shoes of one group at one effort, as it is shown.
type Standing struct {
	Effort   trial.Effort
	Outcome  trial.Outcome
	Number   int // of the group at its effort, from 1
	Status   decide.Status
	Evidence decide.Evidence
	Shoes    []ShoeStanding // the best by estimate first
	Problem  string         // why there is no answer at this effort; then there are no shoes
}

// ShoeStanding is one shoe of a [Standing].
type ShoeStanding struct {
	Shoe      string
	Best      float64 // the chance that it is the best of its group
	Reference bool
	// Against compares it with the reference in percent, in the shoe's favour where positive;
	// missing for the reference itself.
	Against figure.Estimate
}

// Shoe returns a shoe's place, or nil.
func (s *Standing) Shoe(id string) *ShoeStanding {
	for i := range s.Shoes {
		if s.Shoes[i].Shoe == id {
			return &s.Shoes[i]
		}
	}
	return nil
}

// Standings lists the answers under the reader's choice, at the effort shown or at all.
func (m *Model) Standings() []Standing {
	if m.yours == m.published || m.yours.Answers == nil {
		return m.PublishedStandings()
	}
	return m.shownEfforts(m.standingsOf(m.yours.Answers))
}

// Question is the effort that the published answer speaks of; "" where there is no answer. No
// choice changes it: where nothing is left to compare at it, that is said.
func (m *Model) Question() trial.Effort {
	if a := m.published.Answers; a != nil {
		if a.Headline >= 0 {
			return a.Efforts[a.Headline].Effort
		}
		return ""
	}
	for i := range m.readBack {
		if string(m.readBack[i].Effort) == m.Dataset.Facts.Method.Headline {
			return m.readBack[i].Effort
		}
	}
	if len(m.readBack) == 0 {
		return ""
	}
	return m.readBack[0].Effort
}

// PublishedBlocked reports whether the published answer claims nothing because a sensor could
// have made it.
func (m *Model) PublishedBlocked() bool {
	return slices.ContainsFunc(m.PublishedStandings(),
		func(s Standing) bool { return s.Effort == m.Question() && s.Status == decide.Blocked })
}

// PublishedStandings lists the published answers, against the reader's reference shoe where
// that can be worked out.
func (m *Model) PublishedStandings() []Standing {
	switch {
	case m.published.Answers != nil:
	case m.Reference() == m.Dataset.Reference() || !m.ReadSums():
		return m.shownEfforts(m.readBack)
	default: // against another reference shoe
		return m.shownEfforts(m.standingsOf(m.publishedFromSums()))
	}
	return m.shownEfforts(m.standingsOf(m.published.Answers))
}

func (m *Model) shownEfforts(all []Standing) []Standing {
	if m.choice.Effort == "" {
		return all
	}
	return slices.DeleteFunc(slices.Clone(all), func(s Standing) bool { return s.Effort != m.choice.Effort })
}

// listed are the standings of answers against a reference shoe. The page asks for them more than
// once, and they are the dearest part of it.
type listed struct {
	answers   *answer.Answers
	reference string
	standings []Standing
}

// standingsOf lists answers: those at the effort of [Model.Question] first. The list is only read.
func (m *Model) standingsOf(a *answer.Answers) []Standing {
	current := &m.listed[1]
	if a == m.published.Answers || a == m.fromSums {
		current = &m.listed[0]
	}
	if current.answers != a || current.reference != m.Reference() {
		*current = listed{a, m.Reference(), m.listStandings(a)}
	}
	return current.standings
}

func (m *Model) listStandings(a *answer.Answers) (list []Standing) {
	question, reference := m.Question(), m.Reference()
	// What was asked first, then the rest as they come.
	var order, rest []*answer.Effort
	for i := range a.Efforts {
		if e := &a.Efforts[i]; e.Effort == question {
			order = append(order, e)
		} else {
			rest = append(rest, e)
		}
	}
	order = append(order, rest...)
	for _, e := range order {
		if e.Problem != "" {
			list = append(list, Standing{Effort: e.Effort, Outcome: e.Outcome, Problem: e.Problem})
		}
		for g := range e.Groups {
			list = append(list, standingOf(e, &e.Groups[g], reference))
		}
	}
	return list
}

func standingOf(e *answer.Effort, g *answer.Group, reference string) Standing {
	s := Standing{Effort: e.Effort, Outcome: e.Outcome, Number: g.Number, Status: g.Status, Evidence: g.Lead.Evidence}
	p := e.Posterior
	// The reference of the group: the reader's, or the last as [answer.Decide] has it.
	from := g.Order[len(g.Order)-1]
	if j := p.Shoe(reference); j >= 0 && slices.Contains(g.Order, j) {
		from = j
	}
	for i, j := range g.Order {
		place := ShoeStanding{Shoe: p.Shoes[j], Best: g.Best[j], Reference: j == from,
			Against: figure.Estimate{Value: units.Missing, Low: units.Missing, High: units.Missing}}
		if j != from {
			d := g.Places[i].Against
			if p.Shoes[from] != g.Reference() {
				d = p.Difference(j, from, e.Sensor)
			}
			place.Against = figure.Estimate{Value: decide.Percent(d.Mean), Low: decide.Percent(d.Low),
				High: decide.Percent(d.High)}
		}
		s.Shoes = append(s.Shoes, place)
	}
	return s
}

// Said is the answer under the reader's choice in words; of one that is read back there are
// the headline and the evidence alone.
func (m *Model) Said() answer.Sentences { return m.saidOf(m.yours.Answers) }

// PublishedSaid is the published answer in words.
func (m *Model) PublishedSaid() answer.Sentences {
	if m.published.Answers == nil || !m.Bundle.Complete() {
		a := m.Bundle.Index.Answer
		return answer.Sentences{Advice: a.Short, Size: a.Size, Evidence: a.Evidence}
	}
	return m.saidOf(m.published.Answers)
}

func (m *Model) saidOf(a *answer.Answers) answer.Sentences {
	if a == nil || m.yours == m.published && a == m.published.Answers && !m.Bundle.Complete() {
		return m.PublishedSaid()
	}
	said := m.saidAtQuestion(answer.NewSpeaker(m.Dataset, a))
	if m.yours.Answers == a && m.FromSums() {
		// What the sums cannot say: checks and findings rest on the samples.
		said.Evidence, said.Stronger, said.Doubts, said.Checks = "", nil, nil, nil
	}
	return said
}

// saidAtQuestion says an answer at the effort of [Model.Question], whichever effort would
// speak for the dataset by itself.
func (m *Model) saidAtQuestion(s answer.Speaker) answer.Sentences {
	question := m.Question()
	if e, g := s.Answers.Top(); question == "" || g != nil && e.Effort == question {
		return s.Top()
	}
	if e := s.Answers.Find(question); e != nil && e.Main() != nil {
		return s.Say(e, e.Main())
	}
	return answer.Sentences{Advice: "No answer at " + question.Same() + ".",
		Claim: "Nothing is left to compare there. Use less trim, or include more blocks."}
}

// SameAnswer reports whether the reader's choice leaves the answer as published: the same
// status and the same leading shoe at every effort.
func (m *Model) SameAnswer() bool {
	published, yours := m.PublishedStandings(), m.Standings()
	same := func(a, b Standing) bool {
		return a.Effort == b.Effort && a.Number == b.Number && a.Status == b.Status && len(a.Shoes) == len(b.Shoes) &&
			(len(a.Shoes) == 0 || a.Shoes[0].Shoe == b.Shoes[0].Shoe)
	}
	return slices.EqualFunc(published, yours, same)
}
