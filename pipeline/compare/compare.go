package compare

import (
	"cmp"
	"slices"
	"sort"
	"strings"

	"soletrial/pipeline/parallel"
	"soletrial/pipeline/trial"
)

// Analyse compares every pair of shoes in every outcome at every level, over all
// sessions and, in the outcome that decides, within each. The observations are the
// included blocks; findings are those of the quality rules, which bear on the
// evidence. Workers is how many goroutines may work at a time; it changes no number.
func Analyse(ds *trial.Dataset, observations []Observation, findings []trial.Finding, workers int) Result {
	a := newAnalysis(ds, observations, findings)
	a.orders = a.plannedOrders()
	groups := a.compareGroups(workers, func(trial.Outcome, bool) bool { return true })
	result := a.result(groups)
	result.Sessions = a.withinSessions(groups, a.progress(groups, workers), workers)
	return result
}

// Quick computes only what the explorer shows while a control is dragged: the
// comparisons over all sessions in the outcomes that decide and in the shown ones.
// It leaves no block out in turn, compares within no session and makes no
// randomisation test, so that the evidence does not say whether that agrees. What
// it does give is the same as by [Analyse] to the last digit.
func Quick(ds *trial.Dataset, observations []Observation, findings []trial.Finding, shown ...trial.Outcome) Result {
	a := newAnalysis(ds, observations, findings)
	a.quick = true
	return a.result(a.compareGroups(1,
		func(o trial.Outcome, decides bool) bool { return decides || slices.Contains(shown, o) }))
}

// analysis is what all comparisons of one dataset share. It does not change once
// they begin, but for the quantiles.
type analysis struct {
	dataset   *trial.Dataset
	method    trial.Method
	quick     bool // see [Quick]
	index     *index
	levels    [][]row        // the observations, by level
	doubts    []sessionDoubt // by session of the index
	orders    []plannedOrder // for the randomisation test; none where it is not wanted
	quantiles *quantiles
}

func newAnalysis(ds *trial.Dataset, observations []Observation, findings []trial.Finding) *analysis {
	x, rows := newIndex(ds, observations)
	return &analysis{
		dataset: ds, method: ds.Facts.Method, index: x, levels: levels(rows), doubts: sessionDoubts(ds, x, findings),
		quantiles: &quantiles{known: map[float64]float64{}},
	}
}

// result puts together what the groups say over all sessions.
func (a *analysis) result(groups []comparedGroup) Result {
	var r Result
	for i := range groups {
		r.Comparisons = append(r.Comparisons, groups[i].pairs...)
	}
	r.Comparisons = sortedBy(r.Comparisons, (*Comparison).compare)
	r.Rankings = a.rankings(r.Comparisons, groups)
	return r
}

// comparedGroup is a group with the comparisons over all its sessions.
type comparedGroup struct {
	group
	decides      bool   // the outcome is the one that decides at this level
	sessionSpans []span // the rows of each session
	pairs        []Comparison
}

// Primary returns the outcome that decides for an effort under a method.
func Primary(method trial.Method, effort trial.Effort) trial.Outcome {
	if o, ok := trial.OutcomeNamed(method.Primary); ok {
		return o
	}
	return trial.PrimaryFor(effort)
}

// compareGroups compares over all sessions every level in every wanted outcome for
// which there are blocks, in the order of the levels and outcomes.
func (a *analysis) compareGroups(workers int, wanted func(o trial.Outcome, decides bool) bool) []comparedGroup {
	const outcomes = int(trial.OutcomeCount)
	all := parallel.Map(workers, len(a.levels)*outcomes, func(i int) comparedGroup {
		level, outcome := a.levels[i/outcomes], trial.Outcome(i%outcomes)
		decides := outcome == Primary(a.method, level[0].Effort)
		if !wanted(outcome, decides) {
			return comparedGroup{}
		}
		return a.compareGroup(newGroup(a.index, level, outcome, a.method), decides)
	})
	return slices.DeleteFunc(all, func(c comparedGroup) bool { return len(c.rows) == 0 })
}

// compareGroup compares over all sessions the pairs of a group; of the outcome that
// decides also judged together and by the randomisation test.
func (a *analysis) compareGroup(g group, decides bool) comparedGroup {
	depth := full
	if decides && !a.quick {
		depth = leaveOneOut
	}
	c := comparedGroup{group: g, decides: decides, sessionSpans: g.spans(),
		pairs: a.comparisons(g, a.index.pairs(g.shoes()), depth)}
	if decides {
		holm(c.pairs)
		a.testRandomisation(g, c.pairs)
	}
	return c
}

// depth is how much of a comparison is wanted.
type depth int

const (
	estimateOnly depth = iota // the estimate and its interval
	full                      // and everything that explains it
	leaveOneOut               // and its range with each block left out
)

// comparisons compares the wanted pairs of the group's shoes: within each runner,
// then pooled over the runners who have the pair; pairs that no runner links are
// there too, without an estimate.
func (a *analysis) comparisons(g group, wanted []pair, depth depth) []Comparison {
	// Within each runner.
	own := make([][]runnerComparison, len(wanted))
	for _, runner := range g.byRunner() {
		for _, part := range runner.linkedParts() {
			for i, c := range a.comparePart(part, wanted, depth) {
				if c.Model != "" {
					own[i] = append(own[i], runnerComparison{part.rows[0].Runner, c})
				}
			}
		}
	}
	// Over the runners who have the pair.
	compared := make([]Comparison, len(wanted))
	var all *tally
	for i, p := range wanted {
		switch len(own[i]) {
		case 0:
			if all == nil {
				all = g.tally()
			}
			compared[i] = a.unlinked(g, p, all)
		case 1:
			compared[i] = own[i][0].Comparison
		default:
			compared[i] = a.pool(own[i], g.blank(p))
		}
		if depth > estimateOnly {
			a.grade(&compared[i])
		}
	}
	return compared
}

// runnerComparison is a comparison within one runner.
type runnerComparison struct {
	runner string
	Comparison
}

// comparePart compares those of the wanted pairs that a linked part of one runner's
// blocks has; the others are left without a model, and so are all when there were
// infinities, which no reader lets in.
func (a *analysis) comparePart(part group, wanted []pair, depth depth) []Comparison {
	// Which pairs the part has.
	compared := make([]Comparison, len(wanted))
	has := make([]bool, len(part.index.shoes))
	for i := range part.rows {
		has[part.rows[i].shoe] = true
	}
	var here []int // places of the pairs that the part has
	for i, p := range wanted {
		if has[p.shoe] && has[p.reference] {
			here = append(here, i)
		}
	}
	if len(here) == 0 {
		return compared
	}
	// One model of the part, read off for each of them.
	m, err := fitModel(part, a.method.Drift)
	if err != nil {
		return compared
	}
	t := part.tally()
	for _, i := range here {
		compared[i] = a.difference(m, wanted[i])
		if depth > estimateOnly {
			a.explain(&compared[i], m, wanted[i])
			a.count(&compared[i], wanted[i], t)
		}
	}
	if depth == leaveOneOut {
		m.leaveOneOut(compared, wanted, here)
	}
	return compared
}

// unlinked is the comparison of two shoes that no runner's sessions link.
func (a *analysis) unlinked(g group, p pair, t *tally) Comparison {
	c := g.blank(p)
	c.Model = NotComparable
	c.Notes = []string{"no session, directly or through other shoes, links these two"}
	a.count(&c, p, t)
	both := make([]row, 0, c.Blocks)
	for _, r := range g.rows {
		if r.shoe == p.shoe || r.shoe == p.reference {
			both = append(both, r)
		}
	}
	c.Runners = len(g.with(both).byRunner())
	return c
}

// sortedBy returns a sorted copy. It sorts places in place of the elements
// themselves, which are large; equal ones keep their order.
func sortedBy[T any](list []T, compare func(a, b *T) int) []T {
	places := make([]int, len(list))
	for i := range places {
		places[i] = i
	}
	sort.Slice(places, func(i, j int) bool {
		p, q := places[i], places[j]
		return cmp.Or(compare(&list[p], &list[q]), cmp.Compare(p, q)) < 0
	})
	sorted := make([]T, len(list))
	for to, from := range places {
		sorted[to] = list[from]
	}
	return sorted
}

// compare orders comparisons by outcome, level, shoe and reference.
func (c *Comparison) compare(d *Comparison) int {
	return cmp.Or(cmp.Compare(c.Outcome, d.Outcome), strings.Compare(c.Level, d.Level),
		strings.Compare(c.Shoe, d.Shoe), strings.Compare(c.Reference, d.Reference))
}

// Find returns the comparison of two shoes in either direction, or nil.
func (r *Result) Find(outcome trial.Outcome, level, a, b string) *Comparison {
	for i := range r.Comparisons {
		c := &r.Comparisons[i]
		if c.Outcome == outcome && c.Level == level &&
			(c.Shoe == a && c.Reference == b || c.Shoe == b && c.Reference == a) {
			return c
		}
	}
	return nil
}
