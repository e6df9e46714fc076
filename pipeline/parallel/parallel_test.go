package parallel_test

import (
	"slices"
	"sync/atomic"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/parallel"
)

// Every job is done once, its result stands at its number, and no more jobs than
// workers are under way at a time.
func TestEveryJobOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		workers, n := rapid.IntRange(-1, 9).Draw(t, "workers"), rapid.IntRange(0, 200).Draw(t, "jobs")
		done := make([]atomic.Int64, n)
		var now, most atomic.Int64
		results := parallel.Map(workers, n, func(i int) int {
			here := now.Add(1)
			for seen := most.Load(); here > seen && !most.CompareAndSwap(seen, here); seen = most.Load() {
			}
			done[i].Add(1)
			now.Add(-1)
			return i * i
		})
		if len(results) != n {
			t.Fatalf("%d results of %d jobs", len(results), n)
		}
		for i, result := range results {
			if done[i].Load() != 1 || result != i*i {
				t.Fatalf("job %d was done %d times and returned %d", i, done[i].Load(), result)
			}
		}
		if n > 0 && most.Load() > int64(max(1, workers)) {
			t.Fatalf("%d at a time, want at most %d", most.Load(), workers)
		}
	})
}

func TestOneWorkerKeepsTheOrder(t *testing.T) {
	for _, workers := range []int{0, 1} {
		var order []int
		parallel.Map(workers, 5, func(i int) int { order = append(order, i); return i })
		if !slices.Equal(order, []int{0, 1, 2, 3, 4}) {
			t.Errorf("%d workers: in the order %v", workers, order)
		}
	}
}
