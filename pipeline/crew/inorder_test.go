package crew_test

import (
	"slices"
	"sync/atomic"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/crew"
)

// Whatever the size of the crew, and wherever somebody has had enough: what comes is
// the first ones in order, each job is done at most once, and none when all is over.
func TestInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size, n := rapid.IntRange(-1, 5).Draw(t, "size"), rapid.IntRange(0, 300).Draw(t, "jobs")
		want := rapid.IntRange(0, 300).Draw(t, "wanted")
		done := make([]atomic.Int64, n)
		var now, most, over atomic.Int64
		var came []int
		for v := range crew.InOrder(size, n, func(i int) int {
			here := now.Add(1)
			if here > most.Load() {
				most.Store(here)
			}
			done[i].Add(1)
			over.Add(1)
			now.Add(-1)
			return i * i
		}) {
			if len(came) == want {
				break
			}
			came = append(came, v)
		}
		before := over.Load()
		expected := make([]int, 0, n)
		for i := range min(n, want) {
			expected = append(expected, i*i)
		}
		if !slices.Equal(came, expected) {
			t.Fatalf("%d workers: %v came of %d jobs, want %v", size, came, n, expected)
		}
		begun := 0
		for i := range done {
			if k := done[i].Load(); k > 1 {
				t.Fatalf("job %d was done %d times", i, k)
			} else if begun += int(k); k == 0 && i < len(came) {
				t.Fatalf("job %d was not done", i)
			}
		}
		if limit := len(came) + 1 + 16*max(1, size); begun > limit {
			t.Fatalf("%d jobs done for the first %d results, want at most %d", begun, len(came), limit)
		}
		if most.Load() > int64(max(1, size)) || over.Load() != before {
			t.Fatalf("%d at a time, %d went on after the end", most.Load(), over.Load()-before)
		}
	})
}
