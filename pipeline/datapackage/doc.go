// Package datapackage tells other programs what a published dataset holds: as a
// Frictionless Data Package with a Table Schema for every CSV file
// (datapackage.json), and as a citation in the Citation File Format 1.2.0
// (CITATION.cff).
//
// Its opinions: every column has a type, a unit and a meaning, from one list that
// the pages show to people as well; a key or a reference is declared only where
// the strict reader or derive guarantees it, so that a program which relies on it
// is never wrong; what a standard has no place for is left out, not bent. The
// descriptions follow from the files and the dataset's facts alone: no clock, no
// address that nobody stated, the same bytes every time.
package datapackage
