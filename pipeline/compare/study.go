package compare

import (
	"cmp"
	"slices"

	"soletrial/pipeline/crew"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Study is a dataset compared over all its sessions, with what is needed to look
// into each session by itself. There can be hundreds of comparisons to a session,
// so they are made on demand and not kept.
type Study struct {
	Result // without the comparisons within sessions
	run    *runner
}

// NewStudy compares over all sessions, as [Run] does, by the given number of
// workers, with what may be remembered of earlier fits.
func NewStudy(ds *trial.Dataset, observations []Observation, findings []trial.Finding, workers int, memory Memory) *Study {
	run := &runner{dataset: ds, memory: memory}
	run.run(observations, findings, workers)
	return &Study{run.result, run}
}

// Sessions lists the sessions that have observations, in dataset order.
func (s *Study) Sessions() []string { return s.run.index.sessions }

// Deciding returns the outcome that decides where an effort is held.
func (s *Study) Deciding(effort trial.Effort) trial.Outcome { return Primary(s.run.method, effort) }

// Within compares within session i of [Study.Sessions], by outcome, level, shoe
// and reference. Several sessions may be looked into at the same time.
func (s *Study) Within(i int) []SessionComparison {
	var list []SessionComparison
	for k := range s.run.groups {
		c := &s.run.groups[k]
		at, found := c.spanOf(i)
		if !found {
			continue
		}
		here := c.with(c.rows[c.spans[at].from:c.spans[at].to])
		for n, own := range s.run.pairs(here, alone(here), c.index.pairs(here.shoes()), whole) {
			d := SessionComparison{Session: s.run.index.sessions[i], Date: here.rows[0].Date, Comparison: own}
			d.setToDate(c.toDateAt(at, n))
			list = append(list, d)
		}
	}
	sorted := make([]SessionComparison, len(list))
	for to, from := range order(len(list), func(i, j int) int { return list[i].compare(&list[j].Comparison) }) {
		sorted[to] = list[from]
	}
	return sorted
}

// spanOf finds a session's rows.
func (c *compared) spanOf(session int) (at int, found bool) {
	return slices.BinarySearchFunc(c.spans, session, func(s span, session int) int { return cmp.Compare(s.session, session) })
}

// toDateAt returns the estimate to date of pair n of a span's shoes, or nil.
func (c *compared) toDateAt(at, n int) *Comparison {
	if c.toDate == nil || c.toDate[at] == nil {
		return nil
	}
	return &c.toDate[at][n]
}

func (d *SessionComparison) setToDate(c *Comparison) {
	d.ToDate, d.ToDateLow, d.ToDateHigh = units.Missing, units.Missing, units.Missing
	if c != nil {
		d.ToDate, d.ToDateLow, d.ToDateHigh = c.Estimate, c.Low, c.High
	}
}

// OnPath reports whether the path to date has a point at session i of
// [Study.Sessions].
func (s *Study) OnPath(i int) bool {
	for k := range s.run.groups {
		c := &s.run.groups[k]
		if c.toDate == nil {
			continue
		}
		if at, found := c.spanOf(i); found && c.toDate[at] != nil {
			return true
		}
	}
	return false
}

// ToDate fills in the estimate of all sessions up to and including session i of
// [Study.Sessions] for a comparison within it, where the path to date has a point
// there.
func (s *Study) ToDate(i int, d *SessionComparison) {
	d.setToDate(nil)
	for k := range s.run.groups {
		c := &s.run.groups[k]
		if c.toDate == nil || c.outcome != d.Outcome || c.level != d.Level {
			continue
		}
		at, found := c.spanOf(i)
		if !found {
			continue
		}
		for n := range c.toDate[at] {
			if own := c.toDateAt(at, n); own.Shoe == d.Shoe && own.Reference == d.Reference {
				d.setToDate(own)
			}
		}
	}
}

// toDateSteps is about how many points of the path to date are calculated: all
// of them for few sessions, evenly spread ones and the last for many.
const toDateSteps = 60

// pathToDate makes, for the outcomes that decide, the estimates of all sessions up
// to each of some.
func (run *runner) pathToDate(workers int) {
	type point struct{ group, span int }
	var points []point
	for k := range run.groups {
		c := &run.groups[k]
		if !c.decides {
			continue
		}
		c.toDate = make([][]Comparison, len(c.spans))
		stride := (len(c.spans) + toDateSteps - 1) / toDateSteps
		for i := range c.spans {
			if (len(c.spans)-1-i)%stride == 0 {
				points = append(points, point{k, i})
			}
		}
	}
	crew.Do(workers, len(points), func(i int) {
		c, at := &run.groups[points[i].group], points[i].span
		here := c.with(c.rows[c.spans[at].from:c.spans[at].to])
		c.toDate[at] = run.pairs(c.with(c.rows[:c.spans[at].to]), until(c.runners, c.spans[at].session+1), c.index.pairs(here.shoes()), bare)
	})
}

// Basis is all that [Study.Within] looks at for one session, besides the path to
// date and the shoes' labels, which only reasons name: where it is the same, so
// are the comparisons.
type Basis struct {
	Method              trial.Method
	Reference           string
	Confounded, Product bool
	Unplanned           bool
	Observations        []Observation // of the session
	Groups              []BasisGroup  // it has a part in
}

// BasisGroup is what a whole level says about one outcome.
type BasisGroup struct {
	Outcome      trial.Outcome
	Level        string
	Decides      bool
	Held, Unheld bool // the equal-effort adjustment was made; it could not be made
	Without      int  // blocks of the level that are left out for lack of it
}

// Basis returns what the comparisons within session i of [Study.Sessions] rest on.
func (s *Study) Basis(i int) Basis {
	b := Basis{Method: s.run.method, Reference: s.run.index.reference, Confounded: s.run.confounded[i], Product: s.run.product[i], Unplanned: s.run.unplanned[i]}
	for k := range s.run.groups {
		c := &s.run.groups[k]
		at, found := c.spanOf(i)
		if !found {
			continue
		}
		b.Groups = append(b.Groups, BasisGroup{c.outcome, c.level, c.decides, c.held, c.unheld, c.without})
		for _, r := range c.rows[c.spans[at].from:c.spans[at].to] {
			if !slices.ContainsFunc(b.Observations, func(o Observation) bool { return o.Block == r.Block }) {
				b.Observations = append(b.Observations, *r.Observation)
			}
		}
	}
	return b
}
