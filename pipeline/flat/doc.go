// Package flat turns recordings into one flat table for other programs: a row for every
// sample, with what it belongs to (dataset, runner, session, device, block, shoe) joined in.
//
// [Recordings] gives the rows of a session, recording by recording; [Columns] says what
// stands in them and takes their values out. Its opinion: a mean of a block must come out of
// the table alone, so that every averaged channel has a column of weights, the seconds that
// the value counts for, and the sum of value times weight over the sum of weights is the mean
// in blocks.csv. The package writes no file format.
package flat
