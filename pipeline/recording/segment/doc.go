// Package segment cuts a recording without laps into stretches of even effort,
// proposes blocks from them, and says which planned block each may be.
//
// Its opinions: a stretch is what differs from its neighbours by more than a
// runner wavers, not what some threshold says; the cut is the best of all
// possible ones, so that it depends neither on an order of search nor on chance;
// a proposal is only ever a proposal, which says what it was read from; and where
// a plan fits in two ways the shoe stays blank.
package segment
