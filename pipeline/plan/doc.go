// Package plan decides in which order shoes are run, says how much running an
// answer takes, prints what to take to the track, and compares what was run with
// what was planned.
//
// Its opinions: an order is drawn by chance, but only from orders that are good
// (the shoes lie evenly over the session, so that tiredness and weather fall on
// all of them alike); the set it was drawn from can be made again from plan.yaml
// alone, so that a randomisation test over it is exact; a session knows what was
// run before it and makes up for that; and one stops when the interval is narrow
// enough, never because a p value has come out small.
package plan
