package compare

import (
	"cmp"
	"sort"
	"strings"

	"soletrial/pipeline/crew"
	"soletrial/pipeline/trial"
)

// Run compares every pair of shoes in every outcome at every level. The
// observations are the included blocks; findings are those of the quality rules,
// which bear on the evidence.
func Run(ds *trial.Dataset, observations []Observation, findings []trial.Finding) Result {
	study := NewStudy(ds, observations, findings, 1, nil)
	result := study.Result
	for i := range study.Sessions() {
		result.Sessions = append(result.Sessions, study.Within(i)...)
	}
	return result
}

// Quick is [Run] for somebody who waits for the next picture: it compares in the
// outcomes that decide and in the shown ones only, leaves no block out in turn,
// looks into no session by itself and makes no randomisation test, so that the
// evidence does not say whether that agrees. What it does give is the same to the
// last digit.
func Quick(ds *trial.Dataset, observations []Observation, findings []trial.Finding, shown ...trial.Outcome) Result {
	run := &runner{dataset: ds, quick: true}
	for _, o := range shown {
		run.shown[o] = true
	}
	run.run(observations, findings, 1)
	return run.result
}

func (run *runner) run(observations []Observation, findings []trial.Finding, workers int) {
	x, rows := newIndex(run.dataset, observations)
	run.method, run.index, run.quantiles = run.dataset.Facts.Method, x, &quantiles{known: map[float64]float64{}}
	run.doubt(findings)
	run.lookAtPlans()
	run.compare(levels(rows), workers)
	run.sort()
	run.rank()
	run.result.Verdict = verdict(run.dataset, &run.result)
}

// runner carries what one call of Run needs.
type runner struct {
	quick               bool   // only what decides and what is shown
	memory              Memory // of fits; nil for none
	shown               [trial.OutcomeCount]bool
	dataset             *trial.Dataset
	method              trial.Method
	index               *index
	confounded, product []bool  // sessions with such a finding
	unplanned           []bool  // sessions without a plan that was followed
	drawn               []drawn // sessions with one, where the test is wanted
	quantiles           *quantiles
	sizes               []levelSize
	groups              []compared
	result              Result
}

// compared is a group with the comparisons over all its sessions.
type compared struct {
	group
	decides bool
	pairs   []Comparison
	spans   []span
	runners []history      // where it decides
	toDate  [][]Comparison // by span: the estimates of all sessions so far, of the pairs of its shoes; nil where none was made
}

// Primary returns the outcome that decides for an effort under a method.
func Primary(method trial.Method, effort trial.Effort) trial.Outcome {
	if o, ok := trial.OutcomeNamed(method.Primary); ok {
		return o
	}
	return trial.PrimaryFor(effort)
}

// compare makes the comparisons over all sessions, and those of the path to date,
// each by itself and all of them by several workers.
func (run *runner) compare(levels [][]row, workers int) {
	groups := make([]compared, len(levels)*int(trial.OutcomeCount))
	crew.Do(workers, len(groups), func(i int) {
		groups[i] = run.whole(levels[i/int(trial.OutcomeCount)], trial.Outcome(i%int(trial.OutcomeCount)))
	})
	for i := range groups {
		c := &groups[i]
		if len(c.rows) == 0 {
			continue
		}
		if c.decides {
			run.sizes = append(run.sizes, levelSize{c.level, len(c.rows)})
		}
		run.result.Comparisons = append(run.result.Comparisons, c.pairs...)
		c.pairs = nil
		run.groups = append(run.groups, *c)
	}
	if !run.quick {
		run.pathToDate(workers)
	}
}

// whole compares the blocks of one level in one outcome, if that is wanted.
func (run *runner) whole(blocks []row, outcome trial.Outcome) compared {
	decides := outcome == Primary(run.method, blocks[0].Effort)
	if run.quick && !decides && !run.shown[outcome] {
		return compared{}
	}
	g := newGroup(run.index, blocks, outcome, run.method.PowerExponent)
	if len(g.rows) == 0 {
		return compared{}
	}
	depth := whole
	if decides && !run.quick {
		depth = deciding
	}
	c := compared{group: g, decides: decides, spans: g.spans(), runners: run.histories(g)}
	c.pairs = run.pairs(g, until(c.runners, len(g.index.sessions)), g.index.pairs(g.shoes()), depth)
	if !decides {
		c.runners = nil // there is no path to date
		return c
	}
	holm(c.pairs)
	run.byDraw(g, c.pairs)
	return c
}

// depth is how much of a comparison is wanted.
type depth int

const (
	bare     depth = iota // the estimate and its interval
	whole                 // and everything that explains it
	deciding              // and its range with each block left out
)

// pairs compares the wanted pairs of the group's shoes: within each runner, then
// pooled over the runners who have the pair; pairs that no runner links are
// there too, without an estimate.
func (run *runner) pairs(g group, runners []past, wanted []pair, depth depth) []Comparison {
	own := make([][]runnersOwn, len(wanted))
	for _, p := range runners {
		for _, part := range p.parts() {
			run.part(part, p.sum, wanted, own, depth)
		}
	}
	compared := make([]Comparison, len(wanted))
	var all *tally
	for i, p := range wanted {
		switch len(own[i]) {
		case 0:
			if all == nil {
				all = g.tally()
			}
			compared[i] = run.unlinked(g, p, all)
		case 1:
			compared[i] = own[i][0].Comparison
		default:
			compared[i] = run.pool(own[i], g.blank(p))
		}
		if depth > bare {
			run.grade(&compared[i])
		}
	}
	return compared
}

// runnersOwn is a comparison within one runner.
type runnersOwn struct {
	runner string
	Comparison
}

// part compares the wanted pairs that a linked group of one runner has; sum is that
// of the runner's past that it is a part of.
func (run *runner) part(part group, sum string, wanted []pair, own [][]runnersOwn, depth depth) {
	has := make([]bool, len(part.index.shoes))
	for i := range part.rows {
		has[part.rows[i].shoe] = true
	}
	var at []int
	var asked []pair
	for i, p := range wanted {
		if has[p.shoe] && has[p.reference] {
			at, asked = append(at, i), append(asked, p)
		}
	}
	if len(at) == 0 {
		return
	}
	f := run.fit(part, sum, asked, depth)
	if f.Failed {
		return
	}
	runner, t := part.rows[0].Runner, part.tally()
	for k, i := range at {
		c := run.difference(part.blank(wanted[i]), f, k)
		if depth > bare {
			run.complete(&c, part, f, k)
			run.count(&c, wanted[i], t)
		}
		own[i] = append(own[i], runnersOwn{runner, c})
	}
}

// unlinked is the comparison of two shoes that no runner's sessions link.
func (run *runner) unlinked(g group, p pair, t *tally) Comparison {
	c := g.blank(p)
	c.Model = NotComparable
	c.Notes = []string{"no session, directly or through other shoes, links these two"}
	run.count(&c, p, t)
	both := make([]row, 0, c.Blocks)
	for _, r := range g.rows {
		if r.shoe == p.shoe || r.shoe == p.reference {
			both = append(both, r)
		}
	}
	c.Runners = len(g.with(both).byRunner())
	return c
}

// sort brings the comparisons into the order of the tables. Places are sorted in
// place of the comparisons themselves, which are large.
func (run *runner) sort() {
	all := run.result.Comparisons
	sorted := make([]Comparison, len(all))
	for i, from := range order(len(all), func(i, j int) int { return all[i].compare(&all[j]) }) {
		sorted[i] = all[from]
	}
	run.result.Comparisons = sorted
}

// order returns the places 0 to n-1 in the order of what stands there.
func order(n int, compare func(i, j int) int) []int {
	places := make([]int, n)
	for i := range places {
		places[i] = i
	}
	sort.Slice(places, func(i, j int) bool {
		return cmp.Or(compare(places[i], places[j]), cmp.Compare(places[i], places[j])) < 0
	})
	return places
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
