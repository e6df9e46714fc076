package site

import (
	"strings"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/english"
	"soletrial/pipeline/summary"
	"soletrial/pipeline/units"
)

// homeBody is the page that answers the question.
type homeBody struct {
	Card        cardBody
	Figure      *picture
	Against     string // the shoe that the figure compares the others with
	Shared      *sharedFigure
	Race        *raceBody
	Beyond      *beyondBody
	Robust      *stripBody
	Tested      testedBody
	Others      []effortBody // the answers at other efforts
	Doubts      []string
	Stronger    []string
	Description string
	Disclosure  string
	Summary     string // the answer as a text for posts and descriptions
}

func (s *site) home() error {
	effort, group := s.speaker.Answers.Top()
	body := homeBody{
		Card: s.card(effort, group), Tested: s.tested(effort, group), Beyond: s.beyond(""),
		Description: s.ds.Facts.Description, Disclosure: s.ds.Facts.Disclosure,
	}
	body.Summary = strings.TrimSpace(summary.New(s.result, s.speaker).Short().Text())
	said := s.speaker.Top()
	for _, line := range said.Doubts {
		body.Doubts = append(body.Doubts, nonBreaking(line))
	}
	for _, line := range said.Stronger {
		body.Stronger = append(body.Stronger, nonBreaking(english.Capitalise(line)+"."))
	}
	if group != nil {
		drawn := bothWidths(s.groupFigure(effort, group, "answer", true), intervalCaption)
		body.Figure, body.Against = &drawn, s.speaker.Label(group.Reference())
		body.Race, body.Robust = s.race(effort, group), s.strip(effort, group)
		body.Shared = s.stableFigure("answer", "", s.groupFigure(effort, group, "answer", false))
	}
	body.Others = s.otherAnswers(effort, group)
	return s.page("index.html", "home", "Answer", body)
}

// intervalCaption says how to read the figures of answers.
const intervalCaption = "The mark is the most likely difference. With a chance of 95 % the true one lies on the line."

// effortBody is the answer of one group of shoes at one effort.
type effortBody struct {
	Title string
	Said  string
}

// otherAnswers are the answers beside the one of the headline.
func (s *site) otherAnswers(top *answer.Effort, main *answer.Group) (others []effortBody) {
	for i := range s.speaker.Answers.Efforts {
		e := &s.speaker.Answers.Efforts[i]
		for g := range e.Groups {
			if group := &e.Groups[g]; group != main {
				others = append(others, effortBody{effortTitle(e),
					nonBreaking(s.speaker.Say(e, group).Headline())})
			}
		}
		if e.Problem != "" && e != top {
			others = append(others, effortBody{effortTitle(e), english.Capitalise(e.Problem) + "."})
		}
	}
	return others
}

// effortTitle names an effort with the sessions behind it.
func effortTitle(e *answer.Effort) string {
	return english.Capitalise(e.Outcome.Info().Label) + " at " + e.Effort.Same() + ": " +
		units.Count(e.Sessions, "session")
}
