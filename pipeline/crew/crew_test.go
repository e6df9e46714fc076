package crew_test

import (
	"slices"
	"sync/atomic"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/crew"
)

// Every job is done once, whatever the size of the crew, and no more than that
// many are under way at a time.
func TestEveryJobOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size, n := rapid.IntRange(-1, 9).Draw(t, "size"), rapid.IntRange(0, 200).Draw(t, "jobs")
		done := make([]atomic.Int64, n)
		var now, most atomic.Int64
		crew.Do(size, n, func(i int) {
			if here := now.Add(1); here > most.Load() {
				most.Store(here)
			}
			done[i].Add(1)
			now.Add(-1)
		})
		for i := range done {
			if done[i].Load() != 1 {
				t.Fatalf("job %d was done %d times", i, done[i].Load())
			}
		}
		if n > 0 && most.Load() > int64(max(1, size)) {
			t.Fatalf("%d at a time, want at most %d", most.Load(), size)
		}
	})
}

func TestACrewOfOneKeepsTheOrder(t *testing.T) {
	for _, size := range []int{0, 1} {
		var order []int
		crew.Do(size, 5, func(i int) { order = append(order, i) })
		if !slices.Equal(order, []int{0, 1, 2, 3, 4}) {
			t.Errorf("a crew of %d worked in the order %v", size, order)
		}
	}
}
