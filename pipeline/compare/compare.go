package compare

import (
	"cmp"
	"sort"
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
	all, within := run.result.Comparisons, run.result.Sessions
	sort.SliceStable(all, func(i, j int) bool { return all[i].compare(&all[j]) < 0 })
	order := map[string]int{}
	for i, s := range ds.Sessions {
		order[s.ID] = i
	}
	sort.SliceStable(within, func(i, j int) bool {
		return cmp.Or(cmp.Compare(order[within[i].Session], order[within[j].Session]), within[i].compare(&within[j].Comparison)) < 0
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
		pairs := run.pairs(g, primary)
		if primary {
			holm(pairs)
		}
		run.result.Comparisons = append(run.result.Comparisons, pairs...)
		run.withinSessions(g, primary)
	}
}

// pairs compares every pair of the group's shoes: within each runner, then
// pooled over the runners who have the pair; pairs that no runner links are
// there too, without an estimate. Sway asks for the leave-one-block-out range.
func (run *runner) pairs(g group, sway bool) []Comparison {
	type key struct{ shoe, reference string }
	own, by := map[key][]Comparison{}, map[key][]string{}
	for _, id := range g.runners() {
		for _, part := range g.only(func(r row) bool { return r.Runner == id }).parts() {
			for _, c := range run.within(part, sway) {
				k := key{c.Shoe, c.Reference}
				own[k], by[k] = append(own[k], c), append(by[k], id)
			}
		}
	}
	var pairs []Comparison
	shoes := g.shoes()
	for i := range shoes {
		for j := range i {
			shoe, reference := orient(shoes[i], shoes[j], run.dataset.Reference())
			k := key{shoe, reference}
			c := run.unlinked(g, shoe, reference)
			switch len(own[k]) {
			case 0:
			case 1:
				c = own[k][0]
			default:
				c = pool(own[k], by[k], run.method.Confidence)
			}
			run.grade(&c, g)
			pairs = append(pairs, c)
		}
	}
	return pairs
}

// within compares every pair of shoes of a linked group of one runner.
func (run *runner) within(part group, sway bool) []Comparison {
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
			comparisons = append(comparisons, f.pair(shoe, reference, run.method.Confidence))
		}
	}
	if sway {
		f.sway(comparisons, run.method.Drift)
	}
	return comparisons
}

// unlinked is the comparison of two shoes that no runner's sessions link.
func (run *runner) unlinked(g group, shoe, reference string) Comparison {
	c := blank(g.outcome, g.effort, g.level, shoe, reference)
	c.Model = NotComparable
	c.Notes = []string{"no session, directly or through other shoes, links these two"}
	c.count(g)
	return c
}

// toDateSteps is about how many points of the path to date are calculated: all
// of them for few sessions, evenly spread ones and the last for many.
const toDateSteps = 60

// withinSessions adds each session's own comparisons and, for the primary
// outcome, the estimate of all sessions so far.
func (run *runner) withinSessions(g group, primary bool) {
	sessions := g.sessions()
	stride := (len(sessions) + toDateSteps - 1) / toDateSteps
	upTo := map[string]bool{}
	for i, id := range sessions {
		upTo[id] = true
		own := run.pairs(g.only(func(r row) bool { return r.Session == id }), false)
		var toDate []Comparison
		if primary && ((len(sessions)-1-i)%stride == 0) {
			toDate = run.pairs(g.only(func(r row) bool { return upTo[r.Session] }), false)
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
