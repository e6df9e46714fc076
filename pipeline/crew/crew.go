// Package crew does many like jobs with a few workers.
//
// Its opinions: a job is known by its number and writes to its own place, so that
// nobody can tell from the result who did what, or when; a crew of one works in
// the order of the numbers; and what goes wrong in a job ends the program, as it
// would without a crew.
package crew

import (
	"sync"
	"sync/atomic"
)

// Do calls job with every number from 0 to n-1, each once, at most size at a time,
// and returns when all are done. Less than two workers, or a single job, is a plain
// loop.
func Do(size, n int, job func(i int)) {
	if size = min(size, n); size < 2 {
		for i := range n {
			job(i)
		}
		return
	}
	var next atomic.Int64
	var all sync.WaitGroup
	for range size {
		all.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				job(i)
			}
		})
	}
	all.Wait()
}
