package stable

import (
	"cmp"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// The standard library's stable sort is the oracle.
func TestSortIsTheStandardLibrarys(t *testing.T) {
	type pair struct{ key, place int }
	rapid.Check(t, func(t *rapid.T) {
		var list []pair
		for i, key := range rapid.SliceOf(rapid.IntRange(0, 5)).Draw(t, "keys") {
			list = append(list, pair{key, i})
		}
		want := slices.Clone(list)
		byKey := func(a, b pair) int { return cmp.Compare(a.key, b.key) }
		slices.SortStableFunc(want, byKey)
		if Sort(list, byKey); !slices.Equal(list, want) {
			t.Fatalf("%v, want %v", list, want)
		}
	})
}
