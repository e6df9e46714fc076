package crew

import (
	"iter"
	"sync"
	"sync/atomic"
)

// ahead is how many results of [InOrder] there may be for each worker that nobody
// has taken yet.
const ahead = 16

// InOrder calls job with every number from 0 to n-1, each once, at most size at a
// time, and yields what came of each in the order of the numbers, while the next
// ones are made. Less than two workers is a plain loop. Where nobody wants more,
// each worker begins at most one more, and all are over when the loop is.
func InOrder[T any](size, n int, job func(i int) T) iter.Seq[T] {
	return func(yield func(T) bool) {
		if size = min(size, n); size < 2 {
			for i := range n {
				if !yield(job(i)) {
					return
				}
			}
			return
		}
		inParallel(size, n, job, yield)
	}
}

func inParallel[T any](size, n int, job func(i int) T, yield func(T) bool) {
	// A worker takes room, then a number: so there are never more numbers under way
	// than there are shelves, and the shelf of each is free.
	shelves, room, enough := make([]chan T, ahead*size), make(chan struct{}, ahead*size), make(chan struct{})
	for i := range shelves {
		shelves[i] = make(chan T, 1)
	}
	var next atomic.Int64
	var over atomic.Bool // tells sooner than enough, which only wakes who waits for room
	var all sync.WaitGroup
	for range size {
		all.Go(func() {
			for {
				select {
				case room <- struct{}{}:
				case <-enough:
					return
				}
				i := int(next.Add(1)) - 1
				if i >= n || over.Load() {
					return
				}
				shelves[i%len(shelves)] <- job(i)
			}
		})
	}
	defer all.Wait()
	defer close(enough)
	for i := range n {
		made := <-shelves[i%len(shelves)]
		<-room
		if !yield(made) {
			over.Store(true)
			return
		}
	}
}
