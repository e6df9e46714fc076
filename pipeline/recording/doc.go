// Package recording turns a foreign recording (FIT, GPX 1.1 or a CSV of any
// shape) into [trial.Samples], and its laps into proposals for blocks.
//
// Its opinions: what a file says is judged by its content, not by its name; a
// unit that is written down is believed and a unit that is not is guessed only
// where the values leave no doubt, and then said aloud; every number that was
// converted, blanked or left behind is named in the result, so that nothing
// gets lost or changed unseen; a damaged file gives what is sound, with a
// warning that says how much is missing, or nothing at all. Where the runner
// was, who they are and which device they own never leave this package.
package recording
