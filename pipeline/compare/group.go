package compare

import (
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// row is one block of one outcome, ready for the model.
type row struct {
	*Observation
	shoe, session, runner int     // by the index
	y                     float64 // on the analysis scale, adjusted
	adjusted              float64 // how much of y is the adjustment
}

// group is the rows of one outcome at one level.
type group struct {
	index   *index
	outcome trial.Outcome
	effort  trial.Effort
	level   string
	rows    []row // by session, then place
	held    bool  // the equal-effort adjustment was made
	unheld  bool  // it was called for but could not be made
	without int   // blocks left out because what was held is not known
}

// newGroup takes the blocks of one level that have the outcome. Where the outcome
// is adjusted to equal effort, a block whose effort is not known is left out: it
// would be compared on other terms than the rest. Only when no block's effort is
// known are all compared as they are.
func newGroup(x *index, blocks []row, outcome trial.Outcome, method trial.Method) group {
	g := group{index: x, outcome: outcome, effort: blocks[0].Effort, level: blocks[0].Level()}
	factor := effortFactor(method, g.effort, outcome)
	wanted := factor != 0
	known := 0
	for _, r := range blocks {
		if r.y = response(r.Observation, outcome); units.Known(r.y) {
			if g.rows == nil {
				g.rows = make([]row, 0, len(blocks))
			}
			if wanted && units.Known(r.Effort.LogRatio(r.MeanEffort, r.Target)) {
				known++
			}
			g.rows = append(g.rows, r)
		}
	}
	g.held = wanted && known > 0
	g.unheld = wanted && !g.held
	if g.held {
		g.without = len(g.rows) - known
		g.adjust(factor)
	}
	return g
}

// adjust brings every row to equal effort and drops those whose effort is not
// known.
func (g *group) adjust(factor float64) {
	kept := g.rows[:0]
	for _, r := range g.rows {
		if ratio := r.Effort.LogRatio(r.MeanEffort, r.Target); units.Known(ratio) {
			r.adjusted = float64(factor * ratio)
			r.y += r.adjusted
			kept = append(kept, r)
		}
	}
	g.rows = kept
}

// with returns the group with other rows.
func (g group) with(rows []row) group {
	g.rows = rows
	return g
}

// span is the rows of one session, from up to but not with to.
type span struct{ session, from, to int }

// spans lists the group's sessions; their rows lie together.
func (g group) spans() []span {
	var spans []span
	for i, r := range g.rows {
		if i == 0 || r.session != spans[len(spans)-1].session {
			spans = append(spans, span{session: r.session, from: i})
		}
		spans[len(spans)-1].to = i + 1
	}
	return spans
}

// shoes returns the group's shoes in the order of their ids.
func (g group) shoes() []int {
	return g.distinct(len(g.index.shoes), func(r *row) int { return r.shoe })
}

// byRunner splits the group by runner, in the order of their ids.
func (g group) byRunner() []group {
	runners := g.distinct(len(g.index.runners), func(r *row) int { return r.runner })
	if len(runners) == 1 {
		return []group{g}
	}
	at, rows := make([]int, len(g.index.runners)), make([]row, len(g.rows))
	for i := range g.rows {
		at[g.rows[i].runner]++
	}
	split, from := make([]group, len(runners)), 0
	for i, runner := range runners {
		n := at[runner]
		split[i], at[runner] = g.with(rows[from:from+n:from+n]), from
		from += n
	}
	for i := range g.rows {
		place := &at[g.rows[i].runner]
		rows[*place] = g.rows[i]
		*place++
	}
	return split
}

// distinct returns the different numbers among the rows, ascending; all are
// below n.
func (g group) distinct(n int, number func(*row) int) []int {
	seen, count := make([]bool, n), 0
	for i := range g.rows {
		if k := number(&g.rows[i]); !seen[k] {
			seen[k] = true
			count++
		}
	}
	found := make([]int, 0, count)
	for k, yes := range seen {
		if yes {
			found = append(found, k)
		}
	}
	return found
}

// linkedParts splits a group into what common sessions link, so that every pair of
// shoes of a part can be compared; in order of first appearance.
func (g group) linkedParts() []group {
	spans := g.spans()
	if len(spans) == 1 {
		return []group{g}
	}
	root := newLinks(len(g.index.shoes))
	for _, s := range spans {
		for i := s.from + 1; i < s.to; i++ {
			root.join(g.rows[s.from].shoe, g.rows[i].shoe)
		}
	}
	if root.one(g.rows) {
		return []group{g}
	}
	// One part for each root of the shoes.
	var parts []group
	at := make([]int, len(g.index.shoes)) // place of each root's part, plus one
	for i, r := range g.rows {
		k := root.of(r.shoe)
		if at[k] == 0 {
			parts = append(parts, g.with(make([]row, 0, len(g.rows)-i)))
			at[k] = len(parts)
		}
		part := &parts[at[k]-1]
		part.rows = append(part.rows, r)
	}
	return parts
}

// links is a forest over small numbers: those with a common root are linked.
type links []int

func newLinks(n int) links {
	l := make(links, n)
	for i := range l {
		l[i] = i
	}
	return l
}

func (l links) of(k int) int {
	for l[k] != k {
		l[k] = l[l[k]]
		k = l[k]
	}
	return k
}

// one reports whether all rows have linked shoes.
func (l links) one(rows []row) bool {
	for i := range rows {
		if l.of(rows[i].shoe) != l.of(rows[0].shoe) {
			return false
		}
	}
	return true
}

func (l links) join(a, b int) { l[l.of(a)] = l.of(b) }

// tally counts what there is of each shoe of a group.
type tally struct {
	blocks   []int   // of each shoe of the index
	sessions [][]int // that have it, ascending
}

func (g group) tally() *tally {
	n := len(g.index.shoes)
	t := &tally{blocks: make([]int, n), sessions: make([][]int, n)}
	for i := range g.rows {
		r := &g.rows[i]
		t.blocks[r.shoe]++
		if s := t.sessions[r.shoe]; len(s) == 0 || s[len(s)-1] != r.session {
			t.sessions[r.shoe] = append(s, r.session)
		}
	}
	return t
}

// eachSession calls visit with every session that holds one of two shoes, once.
func (t *tally) eachSession(p pair, visit func(session int)) {
	a, b := t.sessions[p.shoe], t.sessions[p.reference]
	for len(a) > 0 || len(b) > 0 {
		switch {
		case len(b) == 0 || len(a) > 0 && a[0] < b[0]:
			visit(a[0])
			a = a[1:]
		case len(a) == 0 || b[0] < a[0]:
			visit(b[0])
			b = b[1:]
		default:
			visit(a[0])
			a, b = a[1:], b[1:]
		}
	}
}
