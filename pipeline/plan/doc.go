// Package plan writes down a session to come, says how likely further sessions
// end in an answer, and prints what to take to the track.
//
// Its opinions: what is decided before the run is written down whole, the order,
// how it was drawn, and the rules of the analysis; a sheet is for one hand and one
// pen; and one stops when the interval is narrow enough, never because a p value
// has come out small.
package plan
