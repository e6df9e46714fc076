package site

import (
	"fmt"
	"strings"

	"soletrial/pipeline/english"
	"soletrial/pipeline/quality"
	"soletrial/pipeline/trial"
)

// planBody is what was planned, what shows when, and what became of it.
type planBody struct {
	Order      cell
	Drawn      string
	Proof      string
	Commits    table
	Departures []string
}

// plan returns what a session's page says of its plan, nil without one.
func (s *site) plan(session *trial.Session) *planBody {
	p := session.Plan
	if p == nil {
		return nil
	}
	body := &planBody{Drawn: fmt.Sprintf("drawn by seed %.0f from %.0f orders", p.Draw.Seed, p.Draw.Orders),
		Proof: "The date of the plan cannot be proved: no version history was read."}
	for _, id := range p.Order {
		body.Order.Shoes = append(body.Order.Shoes, s.shoe(id, "../"))
	}
	if h := s.history(session.ID); h != nil {
		body.Proof, body.Commits = english.Capitalise(h.Text)+".", commits(h)
	}
	for _, d := range quality.Deviations(s.ds, session) {
		line := d.Message
		if d.Place >= 0 && d.Place < len(session.Blocks) {
			line = "block " + session.Blocks[d.Place].ID + ": " + line
		}
		body.Departures = append(body.Departures, line)
	}
	return body
}

// history returns what the version history shows about a session's plan, or nil.
func (s *site) history(session string) *trial.PlanHistory {
	for i := range s.in.Plans {
		if s.in.Plans[i].Session == session {
			return &s.in.Plans[i]
		}
	}
	return nil
}

// commits lists the commits that prove the order of events, first to last.
func commits(h *trial.PlanHistory) table {
	t := table{Caption: "The commits that show it", Head: columns("Brought", "When, by the committer's clock",
		"Commit")}
	add := func(what, time, hash string) {
		if hash != "" {
			t.Rows = append(t.Rows, []cell{text(what), text(strings.Replace(time, "T", " ", 1)),
				{Text: hash, Code: true}})
		}
	}
	if h.State == trial.PlanAfter {
		add("the first samples", h.SamplesTime, h.Samples)
		add("the plan", h.PlanTime, h.Plan)
		return t
	}
	add("the plan", h.PlanTime, h.Plan)
	add("the first samples", h.SamplesTime, h.Samples)
	return t
}

// planWords say in a table what is shown about a session's plan.
var planWords = map[trial.PlanState]string{
	trial.PlanBefore: "before the run", trial.PlanChanged: "before the run, changed since",
	trial.PlanAfter: "not proved to be before the run", trial.PlanLate: "dated after the run",
	trial.PlanWaiting: "not run yet", trial.PlanUncommitted: "not in the version history",
	trial.PlanUnknown: "date not proved",
}

// planCell says in a table whether a session was planned, and what shows it.
func (s *site) planCell(session *trial.Session) cell {
	switch h := s.history(session.ID); {
	case session.Plan == nil:
		return text("no plan")
	case h != nil:
		return text(planWords[h.State])
	}
	return text(planWords[trial.PlanUnknown])
}

// toCome tells whether a session is planned and still to be run.
func toCome(session *trial.Session) bool { return session.Plan != nil && len(session.Blocks) == 0 }
