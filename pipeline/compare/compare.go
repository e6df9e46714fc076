package compare

import (
	"cmp"
	"slices"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Run compares every pair of shoes in every outcome at every level. The
// observations are the included blocks in dataset order (by session, then
// place); findings are those of the quality rules, which bear on the evidence.
func Run(ds *trial.Dataset, observations []Observation, findings []trial.Finding) Result {
	run := &runner{dataset: ds, method: ds.Facts.Method, findings: findings}
	for _, blocks := range levels(observations) {
		run.level(blocks)
	}
	slices.SortStableFunc(run.result.Comparisons, func(a, b Comparison) int { return a.compare(&b) })
	order := map[string]int{}
	for i, s := range ds.Sessions {
		order[s.ID] = i
	}
	slices.SortStableFunc(run.result.Sessions, func(a, b SessionComparison) int {
		return cmp.Or(cmp.Compare(order[a.Session], order[b.Session]), a.compare(&b.Comparison))
	})
	run.rank()
	run.result.Verdict = verdict(ds, &run.result)
	return run.result
}

// compare orders comparisons by outcome, level, shoe and reference.
func (c *Comparison) compare(d *Comparison) int {
	return cmp.Or(cmp.Compare(c.Outcome, d.Outcome), strings.Compare(c.Level, d.Level), strings.Compare(c.Shoe, d.Shoe), strings.Compare(c.Reference, d.Reference))
}

// Find returns the comparison of two shoes in either direction, or nil.
func (r *Result) Find(outcome trial.Outcome, level, a, b string) *Comparison {
	for i := range r.Comparisons {
		c := &r.Comparisons[i]
		if c.Outcome == outcome && c.Level == level && (c.Shoe == a && c.Reference == b || c.Shoe == b && c.Reference == a) {
			return c
		}
	}
	return nil
}

// runner carries what one call of Run needs.
type runner struct {
	dataset  *trial.Dataset
	method   trial.Method
	findings []trial.Finding
	result   Result
}

// Primary returns the outcome that decides for an effort under a method.
func Primary(method trial.Method, effort trial.Effort) trial.Outcome {
	if o, ok := trial.OutcomeNamed(method.Primary); ok {
		return o
	}
	return trial.PrimaryFor(effort)
}

func (run *runner) level(blocks []Observation) {
	for outcome := range trial.OutcomeCount {
		g := newGroup(blocks, outcome, run.method.PowerExponent)
		if len(g.rows) == 0 {
			continue
		}
		primary := outcome == Primary(run.method, g.effort)
		first := len(run.result.Comparisons)
		run.pairs(g)
		if primary {
			holm(run.result.Comparisons[first:])
		}
		run.withinSessions(g, primary)
	}
}

// pairs adds every pair of the group's shoes, those that nothing links too.
func (run *runner) pairs(g group) {
	parts := g.parts()
	for i, part := range parts {
		run.result.Comparisons = append(run.result.Comparisons, run.within(part)...)
		for _, other := range parts[i+1:] {
			run.unlinked(g, part, other)
		}
	}
}

// within compares every pair of shoes of a linked group.
func (run *runner) within(part group) []Comparison {
	shoes := part.shoes()
	if len(shoes) < 2 {
		return nil
	}
	f, err := fitGroup(part, run.method.Drift)
	if err != nil {
		return nil // only lengths that differ or infinities, which no reader lets in
	}
	var comparisons []Comparison
	for i := range shoes {
		for j := range i {
			shoe, reference := orient(shoes[i], shoes[j], run.dataset.Reference())
			c := f.pair(shoe, reference, run.method.Confidence)
			run.grade(&c, part)
			comparisons = append(comparisons, c)
		}
	}
	return comparisons
}

func (run *runner) unlinked(g, part, other group) {
	for _, a := range part.shoes() {
		for _, b := range other.shoes() {
			shoe, reference := orient(a, b, run.dataset.Reference())
			c := blank(g.outcome, g.effort, g.level, shoe, reference)
			c.Model = NotComparable
			c.Notes = []string{"no session, directly or through other shoes, links these two"}
			c.Reasons = []string{"run both, or each with a common third shoe, in one session"}
			c.count(g)
			run.result.Comparisons = append(run.result.Comparisons, c)
		}
	}
}

// withinSessions adds each session's own comparisons and, for the primary
// outcome, the estimate of all sessions so far.
func (run *runner) withinSessions(g group, primary bool) {
	upTo := map[string]bool{}
	for _, id := range g.sessions() {
		upTo[id] = true
		own := run.within(g.only(func(r row) bool { return r.Session == id }))
		var toDate []Comparison
		if primary && len(own) > 0 {
			for _, part := range g.only(func(r row) bool { return upTo[r.Session] }).parts() {
				toDate = append(toDate, run.within(part)...)
			}
		}
		for _, c := range own {
			run.result.Sessions = append(run.result.Sessions, dated(run.dataset, id, c, toDate))
		}
	}
}

func dated(ds *trial.Dataset, session string, c Comparison, toDate []Comparison) SessionComparison {
	s := SessionComparison{Session: session, Date: ds.Session(session).Facts.Date, Comparison: c, ToDate: units.Missing, ToDateLow: units.Missing, ToDateHigh: units.Missing}
	for i := range toDate {
		if toDate[i].Shoe == c.Shoe && toDate[i].Reference == c.Reference {
			s.ToDate, s.ToDateLow, s.ToDateHigh = toDate[i].Estimate, toDate[i].Low, toDate[i].High
		}
	}
	return s
}
