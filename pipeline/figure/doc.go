// Package figure draws the figures of a shoe trial as SVG text: the ranking of
// the shoes, the order of a session's blocks, their traces, how the answer moved
// as sessions came in, and what weight explains.
//
// Its opinions: an interval is drawn as large as the estimate it belongs to, and
// an estimate without one is hollow and says so; a gap in a recording stays a
// gap; thinning a trace never hides an extreme; colour is never the only code,
// a shoe is also a letter, a marker shape and a dash. Every figure carries its
// own text alternative. Figures hold no style attribute and no style element:
// they use presentation attributes and class names, which a strict content
// security policy allows and a style sheet overrides.
//
// The same input gives the same bytes everywhere; all text is escaped here.
package figure
