// Package sums is what the explorer answers the first touch from: for every block the means of
// what was held and compared over steps of five seconds, small enough to be fetched at once.
//
// [Of] makes them from sessions that were derived, [Write] writes them and [Read] reads them
// back; [Block.Means] gives the means over another steady window. They are close to those over
// the samples, not the same: an answer from them says so, and the samples replace it.
package sums
