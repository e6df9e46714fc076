package compare

import (
	"sort"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// row is one block of one outcome, ready for the model.
type row struct {
	*Observation
	y        float64 // on the analysis scale, adjusted
	adjusted float64 // how much of y is the adjustment
}

// group is the rows of one outcome at one level that common sessions link, so
// that every pair of its shoes can be compared.
type group struct {
	outcome trial.Outcome
	effort  trial.Effort
	level   string
	rows    []row // by session order, then place
	held    bool  // the equal-effort adjustment could be made
}

// levels splits observations by level, in text order of the level's name.
func levels(observations []Observation) [][]Observation {
	byName := map[string][]Observation{}
	for i := range observations {
		name := observations[i].Level()
		byName[name] = append(byName[name], observations[i])
	}
	split := make([][]Observation, 0, len(byName))
	for _, blocks := range byName {
		split = append(split, blocks)
	}
	sort.Slice(split, func(i, j int) bool { return split[i][0].Level() < split[j][0].Level() })
	return split
}

// newGroup takes the blocks of one level that have the outcome. The adjustment
// is made for all of them or for none: a block whose effort is not known would
// otherwise be compared on other terms than the rest.
func newGroup(blocks []Observation, outcome trial.Outcome, exponent float64) group {
	g := group{outcome: outcome, effort: blocks[0].Effort, level: blocks[0].Level()}
	sign := adjusts(g.effort, outcome)
	g.held = sign != 0 && exponent != 0
	for i := range blocks {
		if y := response(&blocks[i], outcome); units.Known(y) {
			g.rows = append(g.rows, row{Observation: &blocks[i], y: y})
			g.held = g.held && units.Known(effortRatio(&blocks[i]))
		}
	}
	if g.held {
		for i := range g.rows {
			r := &g.rows[i]
			r.adjusted = float64(sign * exponent * effortRatio(r.Observation))
			r.y += r.adjusted
		}
	}
	return g
}

// parts splits a group into what common sessions link, in order of first
// appearance.
func (g group) parts() []group {
	parent := map[string]string{}
	var root func(string) string
	root = func(k string) string {
		if p, ok := parent[k]; ok && p != k {
			return root(p)
		}
		return k
	}
	for _, r := range g.rows {
		a, b := root("session "+r.Session), root("shoe "+r.Shoe)
		parent[a] = b
	}
	index := map[string]int{}
	var parts []group
	for _, r := range g.rows {
		k := root("shoe " + r.Shoe)
		i, seen := index[k]
		if !seen {
			i = len(parts)
			index[k] = i
			parts = append(parts, group{outcome: g.outcome, effort: g.effort, level: g.level, held: g.held})
		}
		parts[i].rows = append(parts[i].rows, r)
	}
	return parts
}

// shoes returns the ids of the group's shoes, sorted.
func (g group) shoes() []string {
	return distinct(g.rows, func(r row) string { return r.Shoe }, true)
}

// sessions returns the ids of the group's sessions, in row order.
func (g group) sessions() []string {
	return distinct(g.rows, func(r row) string { return r.Session }, false)
}

// runners returns the ids of the group's runners, sorted.
func (g group) runners() []string {
	return distinct(g.rows, func(r row) string { return r.Runner }, true)
}

// only returns the group with the rows that keep, in order.
func (g group) only(keep func(row) bool) group {
	kept := g
	kept.rows = nil
	for _, r := range g.rows {
		if keep(r) {
			kept.rows = append(kept.rows, r)
		}
	}
	return kept
}

func distinct(rows []row, key func(row) string, sorted bool) []string {
	var keys []string
	seen := map[string]bool{}
	for _, r := range rows {
		if k := key(r); !seen[k] {
			seen[k] = true
			keys = append(keys, k)
		}
	}
	if sorted {
		sort.Strings(keys)
	}
	return keys
}
