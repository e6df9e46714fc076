// Package app is the explorer without a screen: the published dataset, what the
// reader has chosen, and the analysis run again under that choice.
//
// [Open] comes first; then each action of the reader is one [Model.Do], followed by
// [Model.Recompute]. What is published and what is the reader's are never mixed, both
// are always there to compare. A choice holds only what differs from the published
// method, and fits in the page's address. The analysis is the very package that made
// the published tables. What is not yet derived is shown as
// published and said to be.
package app
