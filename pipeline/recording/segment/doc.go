// Package segment finds the blocks of a session in its recording: the stretches
// that were run at effort, without warm-up, rests, run home and cool-down.
//
// Use [Propose] with everything that is known ([Evidence]); it gives the blocks,
// how they were found, and what was probably held. [Match] then says which
// planned block each of them is. The commands and the explorer use the same
// function on the same evidence.
//
// Its opinions: a block is told by its effort, and laps that somebody pressed
// only say more exactly where it starts and ends, so that a forgotten press
// costs a few seconds and not a block; laps that the device makes by itself say
// nothing; blocks of one session resemble each other in length and effort; the
// best division of a recording depends neither on an order of search nor on
// chance; a proposal is only ever a proposal.
//
// The package does not read files, knows no shoes, and changes nothing.
package segment
