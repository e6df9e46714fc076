package figure

import (
	"slices"

	"soletrial/pipeline/units"
)

// maxLanes is how many lines of groups stand beside each other; more would take the
// room of the plot.
const maxLanes = 6

// groupsByRank returns groups of two or more rows of which no two are told apart, each
// in order of rank: from every row downwards, whatever row is not told apart from those
// already taken, unless an earlier group holds them all. So there are at most as many
// groups as rows. (All largest groups of a graph can be 3^(n/3) of n rows: Moon & Moser
// 1965, Israel Journal of Mathematics 3:23.) Rows that were not compared are in none.
func groupsByRank(rows []RankingRow) [][]int {
	apart := apartFrom(rows)
	var groups [][]int
	for first := range rows {
		group := groupFrom(first, rows, apart)
		inEarlier := func(g []int) bool {
			return !slices.ContainsFunc(group, func(i int) bool {
				_, found := slices.BinarySearch(g, i)
				return !found
			})
		}
		if len(group) > 1 && !slices.ContainsFunc(groups, inEarlier) {
			groups = append(groups, group)
		}
	}
	return groups
}

// apartFrom lists for each row the rows that are told apart from it, whichever of the
// two says so.
func apartFrom(rows []RankingRow) [][]int {
	apart := make([][]int, len(rows))
	for i, row := range rows {
		for _, j := range row.Apart {
			apart[i], apart[j] = append(apart[i], j), append(apart[j], i)
		}
	}
	return apart
}

// groupFrom takes the first row and, going down, every row that is not told apart from
// those taken; nil when the first was not compared.
func groupFrom(first int, rows []RankingRow, apart [][]int) []int {
	var group []int
	excluded := make([]bool, len(rows))
	for i := first; i < len(rows); i++ {
		compared := rows[i].Reference || rows[i].Estimate.Bounded() && units.Known(rows[i].Estimate.Value)
		switch {
		case !compared && i == first:
			return nil
		case !compared || excluded[i]:
			continue
		}
		group = append(group, i)
		for _, j := range apart[i] {
			excluded[j] = true
		}
	}
	return group
}

// lanes places groups beside each other so that those in one lane do not meet: each in
// the first lane that is free. Groups that find no lane are left out and counted.
func lanes(groups [][]int) (placed [][][]int, leftOut int) {
	for _, group := range groups {
		free := slices.IndexFunc(placed, func(lane [][]int) bool {
			above := lane[len(lane)-1]
			return above[len(above)-1] < group[0]
		})
		switch {
		case free >= 0:
			placed[free] = append(placed[free], group)
		case len(placed) < maxLanes:
			placed = append(placed, [][]int{group})
		default:
			leftOut++
		}
	}
	return placed, leftOut
}
