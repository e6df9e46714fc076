package summary

import (
	"cmp"
	"strings"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/datapackage"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/english"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Summary is what is said, part by part; an empty part is left out.
type Summary struct {
	Title    string
	Invented string // that the data are invented, where they are
	Answer   string
	// Columns and Rows are the ranking, the best shoe first; none without an answer.
	Columns    []string
	Rows       [][]string
	Tested     []string // how it was tested, with what supports the answer last
	Doubts     []string
	Stronger   []string // what would make the evidence stronger
	Disclosure string
	Caution    string
	Address    string // of the site with every number
	Cite       string
}

// caution is what somebody must read who may copy a trial from a video. It is general, not
// medical advice, and defers to local rules and licensed practice.
const caution = "Blocks near threshold are hard exercise and not for everybody. This is not medical advice: local " +
	"rules and licensed clinicians come first. Get used to a very different shoe on easy runs."

// New collects the summary of a dataset's answer as the speaker tells it.
func New(result *derive.Result, s answer.Speaker) Summary {
	facts := &result.Dataset.Facts
	said := s.Top()
	sum := Summary{
		Title: cmp.Or(facts.Title, "Shoe trial"), Answer: said.Headline(), Disclosure: facts.Disclosure,
		Caution: caution, Address: facts.SiteURL, Cite: datapackage.CitationLine(result.Dataset),
		Doubts: said.Doubts,
	}
	if facts.Invented {
		sum.Invented = "Invented data: a demonstration."
	}
	for _, line := range said.Stronger {
		sum.Stronger = append(sum.Stronger, english.Capitalise(line)+".")
	}
	e, g := s.Answers.Top()
	if g == nil {
		return sum
	}
	sum.table(s, e, g)
	sum.Tested = append(tested(result, s, e, said.Evidence), said.Checks...)
	return sum
}

// table is the ranking of a group.
func (sum *Summary) table(s answer.Speaker, e *answer.Effort, g *answer.Group) {
	lines := s.Standings(e, g)
	best, ahead := "Chance it is fastest", lines[0].Label+" faster by"
	if e.Outcome == trial.Heart {
		best, ahead = "Chance it is easiest", "Heart rate lower in "+lines[0].Label+" by"
	}
	timed := s.Race != nil && e.Outcome == trial.Speed
	sum.Columns = []string{"Shoe", best, ahead}
	if timed {
		sum.Columns = append(sum.Columns, english.Capitalise(s.RaceLabel()))
	}
	for i := range lines {
		l := &lines[i]
		row := []string{l.Label, l.Chance(), cmp.Or(l.Percent(), "-")}
		if timed {
			row = append(row, cmp.Or(l.Clock(), "-"))
		}
		sum.Rows = append(sum.Rows, row)
	}
}

// tested says how the shoes were tested.
func tested(result *derive.Result, s answer.Speaker, e *answer.Effort, evidence string) []string {
	method := result.Dataset.Facts.Method
	lines := []string{english.Capitalise(s.Basis(e)) + ". The shoes took turns in each session, and each block was " +
		"cut to its steady part. " + evidence}
	planned := 0
	for _, session := range result.Dataset.SessionsRun() {
		if session.Effort() == e.Effort && session.Plan != nil {
			planned++
		}
	}
	if planned > 0 {
		lines = append(lines, "The order of the shoes was planned in "+
			units.Count(planned, "session")+".")
	}
	return append(lines,
		"With a chance of 95 % the true difference lies within its interval, under the stated assumptions. "+
			"A difference under "+strings.TrimSuffix(units.FormatDecimal(method.WorthwhilePct, 2), "0")+
			" % counts as too small to matter.")
}
