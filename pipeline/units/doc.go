// Package units turns decimal text into numbers and back, and one unit into
// another.
//
// Its opinions: a quantity that was not measured is [Missing], never zero; text
// is read strictly, so that a comma, an exponent or a "NaN" is an error with a
// hint and not a surprise; a number is rounded once, when it is printed.
package units

import "math"

// Missing is the in-memory form of a blank cell: NaN. It spreads through
// arithmetic, so a result that needed a missing input is missing too.
var Missing = math.NaN()

// Known reports whether x was given. It is false for [Missing] only, since no
// reader of this module lets NaN text or an infinity in.
func Known(x float64) bool { return x == x }
