package figure

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// ranked draws a ranking of up to so many shoes, any two of them told apart or not.
func ranked(t *rapid.T, most int) []RankingRow {
	rows := make([]RankingRow, rapid.IntRange(0, most).Draw(t, "shoes"))
	for i := range rows {
		rows[i] = RankingRow{Label: Letter(i), Shoe: i, Estimate: Estimate{float64(-i), float64(-i - 1),
			float64(-i + 1)}}
		for j := range i {
			if rapid.Bool().Draw(t, "apart") {
				rows[i].Apart = append(rows[i].Apart, j)
			}
		}
	}
	return rows
}

func TestNoGroupHoldsTwoRowsThatAreToldApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := ranked(t, 12)
		groups := groupsByRank(rows)
		if len(groups) > len(rows) {
			t.Fatalf("%d groups of %d rows", len(groups), len(rows))
		}
		joined := make([]bool, len(rows))
		for _, group := range groups {
			for k, i := range group {
				joined[i] = true
				for _, j := range group[:k] {
					if j >= i || slices.Contains(rows[i].Apart, j) {
						t.Fatalf("%d and %d in %v", j, i, group)
					}
				}
			}
		}
		for i := range rows {
			for j := range i {
				if !slices.Contains(rows[i].Apart, j) && !joined[j] {
					t.Fatalf("%d is not told apart from %d and in no group of %v", j, i, groups)
				}
			}
		}
	})
}

func TestGroupsInOneLaneDoNotMeet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		groups := groupsByRank(ranked(t, 20))
		placed, leftOut := lanes(groups)
		drawn := 0
		for _, lane := range placed {
			for k, group := range lane {
				drawn++
				if k > 0 && slices.Max(lane[k-1]) >= group[0] {
					t.Fatalf("%v meets %v", lane[k-1], group)
				}
			}
		}
		if len(placed) > maxLanes || drawn+leftOut != len(groups) {
			t.Fatalf("%d lanes, %d groups drawn and %d left out of %d", len(placed), drawn, leftOut, len(groups))
		}
	})
}

// Sixty shoes, of which none is told apart from any, or each only from one other: the
// largest groups of the second are 2^30.
func TestSixtyShoesAreDrawn(t *testing.T) {
	for apart, want := range map[bool]int{false: 1, true: maxLanes} {
		rows := make([]RankingRow, 60)
		for i := range rows {
			rows[i] = RankingRow{Label: Letter(i), Shoe: i, Estimate: Estimate{0, -1, 1}}
			if apart {
				rows[i].Apart = []int{i ^ 1}
			}
		}
		if groups := groupsByRank(rows); len(groups) == 0 || len(groups) > 60 {
			t.Errorf("%d groups", len(groups))
		}
		for _, width := range []Width{Narrow, Wide} {
			if lines := with(parse(t, Ranking{Head: Head{ID: "r"}, Rows: rows}.SVG(width)),
				"join"); len(lines) != want {
				t.Errorf("told apart in pairs %v, width %d: %d lines, want %d", apart, width, len(lines), want)
			}
		}
	}
}

func TestGroupsThatFindNoLaneAreMentioned(t *testing.T) {
	// Each row is told apart from all but its four neighbours on either side.
	rows := make([]RankingRow, 40)
	for i := range rows {
		rows[i] = RankingRow{Label: Letter(i), Shoe: i, Estimate: Estimate{float64(-i), float64(-i - 8),
			float64(8 - i)}}
		for j := range i - 8 {
			rows[i].Apart = append(rows[i].Apart, j)
		}
	}
	text := words(parse(t, Ranking{Head: Head{ID: "r"}, Rows: rows}.SVG(Wide)))
	if !strings.Contains(text, "More such groups are in the table.") {
		t.Errorf("groups were left out without a word: %s", text)
	}
}
