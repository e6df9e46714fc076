package compare

import (
	"cmp"
	"sort"
	"strings"

	"soletrial/pipeline/trial"
)

// index numbers the shoes, sessions and runners that observations name, so that
// the work on them is work on whole numbers: shoes and runners in the order of
// their ids, sessions in dataset order.
type index struct {
	shoes, sessions, runners []string
	reference                string // the dataset's
}

// newIndex numbers everything and returns the observations as rows by session,
// place and block, whatever order they came in.
func newIndex(ds *trial.Dataset, observations []Observation) (*index, []row) {
	var shoes, sessions, runners numbering
	rows := make([]row, len(observations))
	for i := range observations {
		o := &observations[i]
		rows[i] = row{Observation: o, shoe: shoes.number(o.Shoe), session: sessions.number(o.Session),
			runner: runners.number(o.Runner)}
	}
	shoe, session, runner := shoes.sort(nil), sessions.sort(ds.Sessions), runners.sort(nil)
	for i := range rows {
		r := &rows[i]
		r.shoe, r.session, r.runner = shoe[r.shoe], session[r.session], runner[r.runner]
	}
	before := func(i, j int) bool { return rows[i].compare(&rows[j]) < 0 }
	if !sort.SliceIsSorted(rows, before) { // as they mostly are
		sort.SliceStable(rows, before)
	}
	return &index{shoes: shoes.ids, sessions: sessions.ids, runners: runners.ids, reference: ds.Reference()}, rows
}

func (r *row) compare(q *row) int {
	return cmp.Or(cmp.Compare(r.session, q.session), cmp.Compare(r.Order, q.Order), strings.Compare(r.Block, q.Block))
}

// sessionNumbers returns the number of each session.
func (x *index) sessionNumbers() map[string]int {
	numbers := make(map[string]int, len(x.sessions))
	for i, id := range x.sessions {
		numbers[id] = i
	}
	return numbers
}

// numbering gives ids numbers.
type numbering struct {
	ids  []string
	of   map[string]int
	last int // the number last given
}

// number returns the number of an id, the next one when it is new.
func (n *numbering) number(id string) int {
	if len(n.ids) > 0 && n.ids[n.last] == id {
		return n.last
	}
	at, seen := n.of[id]
	if !seen {
		if at = len(n.ids); at == 0 {
			n.of = map[string]int{}
		}
		n.of[id], n.ids = at, append(n.ids, id)
	}
	n.last = at
	return at
}

// sort sorts the ids, sessions the dataset has by their place in it, everything
// else by id, and returns the new number for each old one.
func (n *numbering) sort(sessions []trial.Session) []int {
	place := make(map[string]int, len(sessions))
	for i := range sessions {
		place[sessions[i].ID] = i - len(sessions)
	}
	sort.Slice(n.ids, func(i, j int) bool {
		a, b := n.ids[i], n.ids[j]
		return cmp.Or(cmp.Compare(place[a], place[b]), strings.Compare(a, b)) < 0
	})
	now := make([]int, len(n.ids))
	for i, id := range n.ids {
		now[n.of[id]] = i
	}
	return now
}

// orient returns two shoes, numbered a and b, as (shoe, reference): the dataset's
// reference shoe is the reference where it is in the pair, otherwise the id that
// sorts first.
func (x *index) orient(a, b int) pair {
	if b < a {
		a, b = b, a
	}
	if x.shoes[b] == x.reference {
		return pair{a, b}
	}
	return pair{b, a}
}

// pair is two shoes by number.
type pair struct{ shoe, reference int }

// pairs lists all pairs of some shoes.
func (x *index) pairs(shoes []int) []pair {
	all := make([]pair, 0, len(shoes)*(len(shoes)-1)/2)
	for i := range shoes {
		for j := range i {
			all = append(all, x.orient(shoes[i], shoes[j]))
		}
	}
	return all
}

// levels splits rows by level, in text order of the level's name.
func levels(rows []row) [][]row {
	var names trial.Levels
	var level numbering
	of, count := make([]int, len(rows)), []int{} // the level of each row, the rows of each level
	for i := range rows {
		at := level.number(names.Name(rows[i].Effort, rows[i].Target))
		if at == len(count) {
			count = append(count, 0)
		}
		of[i], count[at] = at, count[at]+1
	}
	now := level.sort(nil)
	split := make([][]row, len(count))
	for at, n := range count {
		split[now[at]] = make([]row, 0, n)
	}
	for i, at := range of {
		into := &split[now[at]]
		*into = append(*into, rows[i])
	}
	return split
}
