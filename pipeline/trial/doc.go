// Package trial holds the nouns of a shoe trial: a dataset with its runners,
// shoes, venues and sessions, the blocks of a session, the samples of a
// recording, and the findings made about them.
//
// It holds values and no behaviour beyond looking them up: reading is done by
// plaintext, judging by quality, calculating by steady, stats and compare. A
// missing number is NaN (see units.Missing), a missing text is "".
package trial
