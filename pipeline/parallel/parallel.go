// Package parallel makes many like results with a few goroutines.
//
// [Map] is all there is: a job is known by its number and returns its result, so
// that nobody can tell from what comes out who did what, or when. A panic in a job
// ends the program, as it would in a loop.
package parallel

import (
	"sync"
	"sync/atomic"
)

// Map calls job with every number from 0 to n-1, each once, by at most workers
// goroutines at a time, and returns the results in the order of the numbers. Less
// than two workers, or a single job, is a plain loop in that order.
func Map[T any](workers, n int, job func(i int) T) []T {
	results := make([]T, n)
	each(workers, n, func(i int) { results[i] = job(i) })
	return results
}

// each is what Map does for results of any type, so that there is one copy of it.
func each(workers, n int, job func(i int)) {
	if workers = min(workers, n); workers < 2 {
		for i := range n {
			job(i)
		}
		return
	}
	var next atomic.Int64
	var all sync.WaitGroup
	for range workers {
		all.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				job(i)
			}
		})
	}
	all.Wait()
}
