// Package align finds the offset between the clocks of two devices that
// recorded the same run, from a channel that both of them measured.
//
// Its opinions: an offset is found or refused, never guessed, so every match
// comes with the height of its peak, with the next best offset, and with how
// well the parts of the run agree; what a person cannot see in the numbers (two
// alike intervals, a steady run without a feature) the correlation cannot see
// either, and then it says so. What is found is the offset of the channel. Two
// devices smooth a channel differently, so that it can differ from the offset of
// the clocks by a few seconds: see [LagAllowanceS].
package align
