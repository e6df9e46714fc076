// Package view turns the explorer's model into what the page shows, as a tree.
//
// Its opinions: every figure has a table beside it; published and yours are
// always named as such; a control says what it does and what the published
// value is; nothing is shown by colour alone.
package view
