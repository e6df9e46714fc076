// Package randomise finds the fair orders of shoes, chooses one by chance, and makes
// the randomisation test over them.
//
// Its opinions: an order is chosen by chance, but only from orders that are good
// (the shoes lie evenly over the session, so that tiredness and weather fall on
// all of them alike); the set it was chosen from can be made again from what
// plan.yaml says, so that a randomisation test over it is exact; a session knows
// what was run before it and makes up for that.
//
// Messages are put together with + and not by patterns: the explorer carries this
// package.
package randomise
