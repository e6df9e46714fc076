// Package convert makes of a recording in any form (FIT, GPX, any CSV) what
// the explorer reads: this project's CSV, what was found out about it, and a
// proposal for its blocks.
//
// The readers of those forms are nearly as large as the whole explorer, so they are a
// program of their own, fetched when a reader first opens a recording, and run in a
// web worker. Finding blocks is part of it, for recordings in this project's form too.
package convert

import (
	"errors"
	"strings"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/recording"
	"soletrial/pipeline/recording/segment"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Result is a file as the explorer reads it, or why it could not be read.
type Result struct {
	CSV     []byte       // in this project's form; nil with a problem
	Blocks  string       // see [Blocks]; "" where no laps tell
	Effort  trial.Effort // what was held by the look of it; "" where nothing tells
	Notes   string       // what a person should know, one sentence on each line
	Problem string       // why there is no CSV, and what to do
	// Columns are the headings of a CSV, and which holds what, for a person to correct; nil
	// where there are none or several files.
	Columns *recording.Columns
}

// File reads the file called name, whose content is src: a recording, or an archive of
// several of one session, which are joined on the clock. Positions, names and serial
// numbers are dropped, see [recording.Read].
func File(name string, src []byte) Result {
	return Unpacked([]Chosen{{Name: name, Content: src}}, nil)
}

// Chosen is a file that a reader chose: its name and its content.
type Chosen = recording.Packed

// Unpacked is [File] for several files that were chosen together; any of them may be an
// archive. Columns say which heading of a single CSV holds what, see [recording.Options].
func Unpacked(chosen []Chosen, columns map[string]string) Result {
	var files []recording.Packed
	for _, c := range chosen {
		unpacked, err := recording.Unpack(c.Name, c.Content)
		if err != nil {
			return Result{Problem: err.Error()}
		}
		files = append(files, unpacked...)
	}
	return Files(files, columns)
}

// Files reads several files of one session as one recording: those that follow each
// other in time, the longest where several devices recorded at the same time. Columns are
// those of a single CSV.
func Files(files []recording.Packed, columns map[string]string) (result Result) {
	var reads []*recording.Import
	// Every file by itself: the first that cannot be read is the answer.
	for _, f := range files {
		got, err := recording.Read(f.Name, f.Content, recording.Options{Columns: columns, Form: true})
		var unread *recording.Error
		if errors.As(err, &unread) && len(files) == 1 {
			result.Columns = unread.Columns
		}
		if err != nil {
			result.Problem = err.Error()
			return result
		}
		if got.Samples == nil {
			return Result{Problem: f.Name + ": the table has one row for each lap, and the explorer needs samples. " +
				"Open the recording itself; `soletrial import` reads such a table"}
		}
		reads = append(reads, got)
	}
	if before, after, pause := recording.Apart(reads); pause > 0 {
		return Result{Problem: files[after].Name + " was recorded long after " + files[before].Name +
			": choose the files of one session"}
	}
	// One recording of one session, and its blocks.
	got := longest(reads)
	result = Result{CSV: plaintext.AppendSamples(nil, got.Samples), Notes: strings.Join(notes(got), "\n")}
	if len(files) == 1 {
		result.Columns = reads[0].Columns
	}
	found := segment.Propose(segment.Evidence{Samples: got.Samples, Laps: got.Laps, Pauses: got.Pauses})
	result.Blocks, result.Effort = Blocks(found.Rows()), found.Effort
	if found.Automatic > 0 {
		said := units.Count(found.Automatic, "automatic lap") + " ignored"
		result.Notes = strings.TrimPrefix(result.Notes+"\n"+said, "\n")
	}
	return result
}

// longest joins the recordings that follow each other in time, and returns the joined
// one with the most samples; there is at least one.
func longest(reads []*recording.Import) (best *recording.Import) {
	for _, group := range recording.Groups(reads, true) {
		parts := make([]*recording.Import, len(group))
		for i, k := range group {
			parts[i] = reads[k]
		}
		if joined := recording.Join(parts); best == nil || joined.Samples.Len() > best.Samples.Len() {
			best = joined
		}
	}
	return best
}

// notes lists what was dropped, what is doubtful, and every unit that was
// converted.
func notes(got *recording.Import) []string {
	list := append(append(append([]string{}, got.Doubts...), got.Warnings...), got.Dropped...)
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
