// Package pool puts the answers of several datasets, each by one runner, into one.
//
// Its opinions: the runner is the unit, so a dataset gives one estimate per pair of
// shoes; runners differ, so the summary is a random-effects one, and what a new
// runner may expect is the prediction interval, not the interval of the mean; what
// is left out is said with the reason; licences and names travel with the numbers.
// The derived comparisons table of each dataset is enough, a few kB.
package pool
