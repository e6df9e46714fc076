// Package forecast says what a difference measured on the track may be worth in
// a race, and how much of it the shoes' weight would lead one to expect.
//
// Its opinions: no single curve turns cost into speed, so several published ones
// give a range; the interval of the comparison is carried through; what lies
// outside the evidence is marked, not left out.
package forecast
