// Package compare says how shoes differ at equal effort, and how sure one can
// be.
//
// Its opinions: blocks are compared with blocks of the same effort and target;
// held effort that was a little off is adjusted for, and the size of the
// adjustment is always shown; the interval is first class and a difference
// without one is said to have none; what cannot be known from the design is
// said in words, not hidden in a number; evidence is graded by how the trial
// was run, never by how large the effect came out.
package compare
