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
	"fmt"
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
	Laps    bool         // the CSV is a table of laps and no recording, see [recording.Import]
	Blocks  string       // see blocksText; "" where no laps tell
	Effort  trial.Effort // the effort that was probably held; "" where nothing shows it
	Targets string       // see targetsText
	Day     string       // of the run, as YYYY-MM-DD; "" where nothing tells
	Notes   string       // what a person should know, one sentence on each line
	Problem string       // why there is no CSV, and what to do
	Doubt   bool         // the problem is a doubt: whoever knows better may have it read anyway
	// Columns are the headings of a CSV, and which holds what, for a person to correct; nil
	// where there are none or several files.
	Columns *recording.Columns
}

// Choice is how a reader wants files to be read. The zero value is fine.
type Choice struct {
	Columns map[string]string // which heading of a single CSV holds what, see [recording.Options]
	Anyway  bool              // doubtful files too, as import takes them with --force
}

// Chosen is a file that a reader chose: its name and its content.
type Chosen = recording.Packed

// Read reads the files that a reader chose together: a recording, or several of one session,
// which are joined on the clock; any of them may be an archive. Positions, names and serial
// numbers are dropped, see [recording.Read].
func Read(chosen []Chosen, choice Choice) Result {
	var files []recording.Packed
	for _, c := range chosen {
		unpacked, err := recording.Unpack(c.Name, c.Content)
		if err != nil {
			return Result{Problem: err.Error()}
		}
		files = append(files, unpacked...)
	}
	return readUnpacked(files, choice)
}

// readUnpacked reads several files of one session as one recording: those that follow each
// other in time, the longest where several devices recorded at the same time.
func readUnpacked(files []recording.Packed, choice Choice) (result Result) {
	var reads []*recording.Import
	// Every file by itself: the first that cannot be read is the answer.
	for _, f := range files {
		got, err := recording.Read(f.Name, f.Content, recording.Options{Columns: choice.Columns, Form: true})
		if unread, ok := errors.AsType[*recording.Error](err); ok && len(files) == 1 {
			result.Columns = unread.Columns
		}
		if err != nil {
			result.Problem = err.Error()
			return result
		}
		reads = append(reads, got)
	}
	if len(files) == 1 {
		result.Columns = reads[0].Columns
	}
	if doubt := doubts(files, reads); doubt != "" && !choice.Anyway {
		result.Problem, result.Doubt = doubt, true
		return result
	}
	return result.found(files, reads)
}

// found fills in what the files hold together: one recording or one table of laps, and its
// blocks.
func (result Result) found(files []recording.Packed, reads []*recording.Import) Result {
	// A table of laps counts where there is nothing else.
	recordings, tables := apart(files, reads)
	if len(recordings) == 0 && len(tables) > 1 {
		return Result{Problem: files[tables[0]].Name + " and " + files[tables[1]].Name +
			" both have one row for each lap: open one of them"}
	}
	var got *recording.Import
	var evidence segment.Evidence
	if len(recordings) == 0 {
		got = reads[tables[0]]
		evidence = segment.Evidence{Samples: segment.LapSamples(got.LapTable), Laps: got.Laps}
		result.CSV, result.Laps = tableText(got.LapTable), true
	} else {
		got = longest(recordings)
		evidence = segment.Evidence{Samples: got.Samples, Laps: got.Laps, Pauses: got.Pauses}
		result.CSV = plaintext.AppendSamples(nil, got.Samples)
	}
	// What was read, and the blocks in it.
	list := notes(got)
	if apart := longAfter(files, reads); apart != "" && len(recording.Groups(recordings, true)) == 1 {
		list = append([]string{apart + ": they are joined into one recording"}, list...)
	}
	if len(recordings) > 0 {
		for _, i := range tables {
			list = append(list, files[i].Name+" was ignored: it has one row for each lap, and the recording beside it "+
				"tells more")
		}
	}
	found := segment.Propose(evidence)
	result.Blocks, result.Effort, result.Day = blocksText(found.Rows()), found.Effort, got.Day()
	result.Targets = targetsText(evidence.Samples, found.Blocks)
	if found.Automatic > 0 {
		list = append(list, units.Count(found.Automatic, "automatic lap")+" ignored")
	}
	result.Notes = strings.Join(list, "\n")
	return result
}

// apart divides what was read into recordings and the numbers of the tables of laps.
func apart(files []recording.Packed, reads []*recording.Import) (recordings []*recording.Import, tables []int) {
	for i := range files {
		if reads[i].LapTable != nil {
			tables = append(tables, i)
		} else {
			recordings = append(recordings, reads[i])
		}
	}
	return recordings, tables
}

// doubts says why files are probably no recordings of one run, "" where nothing speaks
// against it: what import refuses without --force.
func doubts(files []recording.Packed, reads []*recording.Import) string {
	for i, got := range reads {
		if len(got.Doubts) > 0 {
			return files[i].Name + ": " + strings.Join(got.Doubts, ", and ")
		}
		if got.Unread > recording.MaxUnread {
			return fmt.Sprintf("%s: %.0f %% of it is damaged and cannot be read", files[i].Name, 100*got.Unread)
		}
	}
	if found := longAfter(files, reads); found != "" {
		return found + ": choose the files of one session"
	}
	return ""
}

// longAfter names two files of different days, "" where there are none.
func longAfter(files []recording.Packed, reads []*recording.Import) string {
	before, after, pause := recording.Apart(reads)
	if pause == 0 {
		return ""
	}
	return files[after].Name + " was recorded long after " + files[before].Name
}

// tableText writes a table of laps with more decimals than a recording has, for its values
// are means and become means of blocks.
func tableText(table *trial.Samples) []byte {
	const more = 3
	text := []byte(trial.ElapsedColumn)
	for c := range trial.ChannelCount {
		if table.Has(c) {
			text = append(text, ","+c.Info().Column...)
		}
	}
	for i, at := range table.Elapsed {
		text = units.AppendDecimal(append(text, '\n'), at, trial.ElapsedDecimals)
		for c := range trial.ChannelCount {
			if table.Has(c) {
				text = units.AppendDecimal(append(text, ','), table.Values[c][i], c.Info().Decimals+more)
			}
		}
	}
	return append(text, '\n')
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

// blocksText writes proposed blocks as text, on each line start and end in seconds
// and, after the second comma, where the block was read from.
func blocksText(blocks []trial.Block) string {
	var lines []string
	for _, b := range blocks {
		lines = append(lines, units.FormatDecimal(b.Start, 1)+","+units.FormatDecimal(b.End, 1)+","+b.Note)
	}
	return strings.Join(lines, "\n")
}

// targetsText writes what blocks were held at as text: on each line an effort that was recorded,
// an equals sign, and its target as the blocks look.
func targetsText(s *trial.Samples, blocks []segment.Found) string {
	var lines []string
	for _, effort := range trial.Efforts {
		if target := segment.Target(s, effort, blocks); units.Known(target) {
			lines = append(lines, string(effort)+"="+trial.FormatTarget(effort, target))
		}
	}
	return strings.Join(lines, "\n")
}
