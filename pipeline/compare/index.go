package compare

import (
	"cmp"
	"sort"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
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
	x := &index{reference: ds.Reference()}
	named := make([][3]string, len(observations))
	for i := range observations {
		o := &observations[i]
		named[i] = [3]string{o.Shoe, o.Session, o.Runner}
	}
	shoe, session, runner := numbers(named, 0, nil), numbers(named, 1, ds.Sessions), numbers(named, 2, nil)
	x.shoes, x.sessions, x.runners = shoe.ids, session.ids, runner.ids
	rows := make([]row, len(observations))
	for i, n := range named {
		rows[i] = row{Observation: &observations[i], shoe: shoe.of[n[0]], session: session.of[n[1]], runner: runner.of[n[2]]}
	}
	sort.SliceStable(rows, func(i, j int) bool { return rows[i].compare(&rows[j]) < 0 })
	return x, rows
}

func (r *row) compare(q *row) int {
	return cmp.Or(cmp.Compare(r.session, q.session), cmp.Compare(r.Order, q.Order), strings.Compare(r.Block, q.Block))
}

// numbering is ids in their order and the place of each.
type numbering struct {
	ids []string
	of  map[string]int
}

// numbers collects the ids in one column and sorts them: sessions the dataset
// has by their place in it, everything else by id.
func numbers(named [][3]string, column int, sessions []trial.Session) numbering {
	n := numbering{of: map[string]int{}}
	for _, row := range named {
		if _, seen := n.of[row[column]]; !seen {
			n.of[row[column]] = 0
			n.ids = append(n.ids, row[column])
		}
	}
	place := map[string]int{}
	for i := range sessions {
		place[sessions[i].ID] = i - len(sessions)
	}
	sort.Slice(n.ids, func(i, j int) bool {
		a, b := n.ids[i], n.ids[j]
		return cmp.Or(cmp.Compare(place[a], place[b]), strings.Compare(a, b)) < 0
	})
	for i, id := range n.ids {
		n.of[id] = i
	}
	return n
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
	type target struct {
		effort trial.Effort
		value  float64
	}
	name := map[target]string{}
	byName := map[string][]row{}
	for _, r := range rows {
		t := target{r.Effort, r.Target}
		if !units.Known(t.value) {
			t.value = -1
		}
		level, seen := name[t]
		if !seen {
			level = r.Level()
			name[t] = level
		}
		byName[level] = append(byName[level], r)
	}
	split := make([][]row, 0, len(byName))
	for _, level := range byName {
		split = append(split, level)
	}
	sort.Slice(split, func(i, j int) bool { return split[i][0].Level() < split[j][0].Level() })
	return split
}
