package site

import (
	"cmp"
	"fmt"
	"strings"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func (s *site) sessions() error {
	// The path to the answer.
	body := sessionsBody{Track: len(s.in.Track) > 0, Legend: s.legendOfAll()}
	body.Said = nonBreaking(s.speaker.Top().Headline())
	if e, g := s.speaker.Answers.Top(); g != nil {
		body.What = effortTitle(e)
		for _, panel := range s.progress(e, g) {
			body.Panels = append(body.Panels, inline(panel))
		}
		body.Moved = s.progressTable(e, g)
	}
	// Every session.
	for i := range s.ds.Sessions {
		s.addLater("sessions/"+pageName(s.ds.Sessions[i].ID), func() ([]byte, error) { return s.sessionPage(i) })
	}
	all := s.sessionTable("Sessions, newest first", "../")
	return s.paged("sessions/", all.Rows, func(path string, rows [][]cell, pages []cell) error {
		list := body
		list.Table, list.Pages = all, pages
		list.Table.Rows = rows
		return s.page(path, "sessions", "Sessions", list)
	})
}

// points returns how the answer at an effort moved.
func (s *site) points(effort trial.Effort) []answer.Point {
	for i := range s.result.Progress {
		if s.result.Progress[i].Effort == effort {
			return s.result.Progress[i].Points
		}
	}
	return nil
}

// progress makes one panel per shoe: how its difference from the reference moved.
func (s *site) progress(e *answer.Effort, g *answer.Group) []figure.Progress {
	reference := g.Reference()
	var panels []figure.Progress
	for i := range g.Places {
		shoe := g.Places[i].Shoe
		if shoe == reference {
			continue
		}
		steps := s.steps(e.Effort, shoe, reference)
		if len(steps) == 0 {
			continue
		}
		title := s.speaker.Label(shoe) + " against " + s.speaker.Label(reference)
		panels = append(panels, figure.Progress{
			Head: figure.Head{ID: "to-date-" + units.FormatDecimal(float64(len(panels)), 0),
				Title: title + ", session by session", Desc: stepWords(steps)},
			Axis: title + ", %", Shoe: s.place(shoe), Steps: steps,
		})
	}
	// All panels have one scale, so each knows the steps of the others.
	for i := range panels {
		for j := range panels {
			if i != j {
				panels[i].Beside = append(panels[i].Beside, panels[j].Steps)
			}
		}
	}
	return panels
}

// steps are the differences of a shoe from the reference after each session that compared
// them.
func (s *site) steps(effort trial.Effort, shoe, reference string) []figure.Step {
	var steps []figure.Step
	for _, point := range s.points(effort) {
		for i := range point.Places {
			p := &point.Places[i]
			if p.Shoe == shoe && !p.Reference && hasReference(point.Places, reference) {
				steps = append(steps, figure.Step{Label: shortDate(point.Date), Cumulative: percentEstimate(p.Against)})
			}
		}
	}
	return steps
}

func hasReference(places []answer.Place, reference string) bool {
	for i := range places {
		if places[i].Reference {
			return places[i].Shoe == reference
		}
	}
	return false
}

func stepWords(steps []figure.Step) string {
	var lines []string
	for _, step := range steps {
		lines = append(lines, step.Label+": "+step.Cumulative.Words(answer.PercentDecimals, "%"))
	}
	return strings.Join(lines, "; ") + "."
}

// progressTable is the table behind the panels.
func (s *site) progressTable(e *answer.Effort, g *answer.Group) table {
	t := table{Caption: "How the answer moved, session by session: " + effortTitle(e),
		Head: columns("After", "Shoe", "#Chance to be the best", "#Against "+s.speaker.Label(g.Reference()))}
	for _, point := range s.points(e.Effort) {
		for i := range point.Places {
			p := &point.Places[i]
			row := []cell{link(s.lookup.names[point.Session], pageName(point.Session)), shoeCell(s.shoe(p.Shoe, "../")),
				numeric(nonBreaking(answer.Chance(p.Best))), numeric("reference")}
			if !p.Reference {
				row[3].Text = interval(p.Against)
			}
			t.Rows = append(t.Rows, row)
		}
	}
	return t
}

// after says how the answer stood after a session; "" where it is none of those that moved
// it.
func (s *site) after(session *trial.Session) string {
	e := s.speaker.Answers.Find(session.Effort())
	if e == nil {
		return ""
	}
	for _, point := range s.points(session.Effort()) {
		if point.Session == session.ID {
			p := &point.Places[0]
			best := "the fastest"
			if e.Outcome == trial.Heart {
				best = "the easiest at the same pace"
			}
			return nonBreaking("With this session and those before it at " + e.Effort.Same() + ", " +
				s.speaker.Label(p.Shoe) + " is " + answer.LikelyToBe(p.Best, best) + " (" +
				answer.Chance(p.Best) + ").")
		}
	}
	return ""
}

// sessionTable lists sessions, newest first.
func (s *site) sessionTable(caption, root string) table {
	t := table{Caption: caption, Cards: true, Head: columns("Session", "Result after it", "Order run", "Effort",
		"#Blocks included", "Planned", "Findings")}
	for i := len(s.ds.Sessions) - 1; i >= 0; i-- {
		session := &s.ds.Sessions[i]
		row := []cell{
			link(s.lookup.names[session.ID], root+"sessions/"+pageName(session.ID)), text(s.resultAfter(session)),
			s.orderLetters(session, root), {Text: targetsOf(session),
				Other: targetsPerMile(session)},
			numeric(s.usedBlocks(session)), s.planCell(session), text(s.findingCounts(session)),
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// resultAfter says in a table who led after a session.
func (s *site) resultAfter(session *trial.Session) string {
	if toCome(session) {
		return "still to be run"
	}
	for _, point := range s.points(session.Effort()) {
		if point.Session == session.ID {
			return nonBreaking(s.speaker.Label(point.Places[0].Shoe) + " first (" +
				answer.Chance(point.Places[0].Best) +
				")")
		}
	}
	return "no answer yet"
}

func (s *site) venue(session *trial.Session) string {
	if v := s.ds.Venue(session.Facts.Venue); v != nil {
		return cmp.Or(v.Label, v.ID)
	}
	return session.Facts.Venue
}

func (s *site) orderLetters(session *trial.Session, root string) cell {
	var c cell
	for _, b := range session.Blocks {
		c.Shoes = append(c.Shoes, s.shoe(b.Shoe, root))
	}
	return c
}

func (s *site) usedBlocks(session *trial.Session) string {
	if toCome(session) {
		return ""
	}
	used := 0
	if result := s.lookup.results[session.ID]; result != nil {
		for i := range result.Blocks {
			if result.Blocks[i].Included {
				used++
			}
		}
	}
	return fmt.Sprintf("%d of %d", used, len(session.Blocks))
}

// severities are the findings' severities as pages count them, the worst first.
var severities = []struct {
	severity trial.Severity
	noun     string
}{{trial.Stop, "stop"}, {trial.Warn, "warning"}, {trial.Note, "note"}}

func (s *site) findingCounts(session *trial.Session) string {
	var counts []string
	for _, kind := range severities {
		n := 0
		for _, f := range s.lookup.findings[session.ID] {
			if f.Severity == kind.severity {
				n++
			}
		}
		if n > 0 {
			counts = append(counts, units.Count(n, kind.noun))
		}
	}
	return cmp.Or(strings.Join(counts, ", "), "none")
}
