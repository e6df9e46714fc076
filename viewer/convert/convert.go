// Package convert makes of a recording in another form (FIT, GPX, any CSV) what
// the explorer reads: this project's CSV, what was found out about it, and a
// proposal for its blocks.
//
// The readers of those forms are nearly as large as the whole explorer, so they are a
// program of their own, fetched when a reader first opens such a file, and run in a
// web worker.
package convert

import (
	"strings"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/recording"
	"soletrial/pipeline/recording/segment"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Result is a file as the explorer reads it, or why it could not be read.
type Result struct {
	CSV     []byte // in this project's form; nil with a problem
	Blocks  string // see [Blocks]; "" where no laps tell
	Notes   string // what a person should know, one sentence on each line
	Problem string // why there is no CSV, and what to do
}

// File reads the file called name, whose content is src. Positions, names and
// serial numbers are dropped, see [recording.Read].
func File(name string, src []byte) Result {
	got, err := recording.Read(name, src, recording.Options{})
	if err != nil {
		return Result{Problem: err.Error()}
	}
	if got.Samples == nil {
		return Result{Problem: name +
			": the table has one row for each lap, and the explorer needs samples (bring the " +
			"recording itself; the program reads such a table with import)"}
	}
	if got.Samples.Len() == 0 {
		return Result{Problem: name + ": the file holds no samples (export it again)"}
	}
	result := Result{CSV: plaintext.AppendSamples(nil, got.Samples), Notes: strings.Join(notes(got), "\n")}
	found := segment.Propose(segment.Evidence{Samples: got.Samples, Laps: got.Laps, Pauses: got.Pauses})
	result.Blocks = Blocks(found.Rows())
	return result
}

// notes lists what was dropped, what is doubtful, and every unit that was
// converted.
func notes(got *recording.Import) []string {
	list := append(append([]string{}, got.Warnings...), got.Dropped...)
	for _, source := range got.Sources {
		if source.Conversion != "" {
			list = append(list, source.Column+" from "+source.From+": "+source.Conversion)
		}
	}
	for i, note := range list {
		list[i] = strings.ReplaceAll(note, "\n", " ")
	}
	return list
}

// Blocks writes proposed blocks as text, on each line start and end in seconds
// and, after the second comma, where the block was read from.
func Blocks(blocks []trial.Block) string {
	var lines []string
	for _, b := range blocks {
		lines = append(lines, units.FormatDecimal(b.Start, 1)+","+units.FormatDecimal(b.End, 1)+","+b.Note)
	}
	return strings.Join(lines, "\n")
}
