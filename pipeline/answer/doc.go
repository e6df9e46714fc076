// Package answer says which shoe to race in: it turns the included blocks of a dataset
// into the inputs of the decision model (package decide), asks it, and judges what comes
// out by the checks of the sensor, by heart rate, and by other analyses of the same blocks.
//
// The order of use: [Inputs] are filled from the derived blocks, [Decide] gives the
// answers, one for each effort; [Answers.Robustness] and [Answers.Progress] make the
// analyses behind them, [Answers.Findings] what the rules about the answer have to say, and
// [Speaker] says the answer in sentences, which are the same on a terminal, on a page and in
// the explorer.
//
// It computes no block means and reads no files.
package answer
