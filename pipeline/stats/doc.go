// Package stats does numbers and nothing else: it knows no field of application.
//
// Its opinion: a number is published only when it is the same number on every
// machine. So every sum has a stated order (index 0 upward), every product that
// could be fused with an addition is rounded first by an explicit float64
// conversion, and the exponential, logarithm, gamma and beta functions are
// written here instead of taken from package math, whose versions are assembly
// on some processors. [math/rand/v2]'s PCG with a stored seed is the only source
// of chance.
//
// Data never cause a panic. What cannot be estimated is NaN with Estimable
// false or a status that says why, and cautions travel beside the number they
// concern. Only misuse that no data can excuse (lengths that differ, an entry
// that is not finite) is an error.
//
// Two-sided p values keep about ten significant digits down to 1e-300, because
// tails are computed as tails and never as one minus a probability.
package stats
