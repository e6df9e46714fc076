// Package pool puts the answers of several datasets, each by one runner, into one.
//
// Its opinions: the runner is the unit, so a dataset gives one estimate per pair of
// shoes; runners differ, so the summary is a random-effects one, and what a new
// runner may expect is the prediction interval, not the interval of the mean; what
// is left out is said with the reason; licences and names travel with the numbers.
// The derived tables of each dataset are enough, a few kB: its decisions, or its
// comparisons for an outcome that no decision is made in. The spread between runners has a
// half-normal prior, so that two runners say something about a third; the classical summary
// stands beside it.
package pool
