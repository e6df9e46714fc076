package figure

import (
	"slices"
	"sort"

	"soletrial/pipeline/units"
)

// alike returns the largest groups of two or more rows of which no two are told
// apart, each sorted, in order of their first members. Rows that were not
// compared belong to no group. They are the maximal cliques of the "not told
// apart" graph (Bron & Kerbosch 1973, Comm ACM 16:575).
func alike(rows []RankingRow) [][]int {
	joined := func(i, j int) bool {
		return i != j && !slices.Contains(rows[i].Apart, j) && !slices.Contains(rows[j].Apart, i)
	}
	var candidates []int
	for i, row := range rows {
		if row.Reference || row.Estimate.Bounded() && units.Known(row.Estimate.Value) {
			candidates = append(candidates, i)
		}
	}
	var groups [][]int
	var grow func(group, open, seen []int)
	grow = func(group, open, seen []int) {
		if len(open) == 0 && len(seen) == 0 && len(group) > 1 {
			group = slices.Clone(group)
			sort.Slice(group, func(a, b int) bool { return group[a] < group[b] })
			groups = append(groups, group)
		}
		for len(open) > 0 {
			i := open[0]
			keep := func(j int) bool { return joined(i, j) }
			grow(append(slices.Clone(group), i), filter(open, keep), filter(seen, keep))
			open, seen = open[1:], append(seen, i)
		}
	}
	grow(nil, candidates, nil)
	// sort, whose code is there once
	sort.Slice(groups, func(a, b int) bool { return slices.Compare(groups[a], groups[b]) < 0 })
	return groups
}

func filter(list []int, keep func(int) bool) []int {
	var kept []int
	for _, i := range list {
		if keep(i) {
			kept = append(kept, i)
		}
	}
	return kept
}
