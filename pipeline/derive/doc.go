// Package derive is the whole chain: a dataset becomes its derived tables.
//
// Its opinions: the same input gives the same bytes on every machine, so tables
// are sorted, decimals fixed, numbers rounded once, here; recordings are read one
// session at a time and let go; the browser runs this very package.
package derive
