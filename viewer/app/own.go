package app

import (
	"fmt"
	"strconv"
	"strings"

	"soletrial/pipeline/derive"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// OwnRecording is a recording that the reader opened. It is compared by itself, under the
// reader's choice of method, and is no part of the published dataset. Nothing of
// it leaves the program but to the browser's own store.
type OwnRecording struct {
	Name    string
	Effort  trial.Effort
	Target  string
	Day     string // when it was run, for its session's folder
	Rows    []OwnBlock
	Notes   []string            // what a reader should know about the file
	Problem string              // why there is no result; "" if there is one
	Result  *derive.Result      // nil with a problem
	Said    string              // the answer in words
	Label   func(string) string // of its shoes

	text     []byte // in this project's form, free of positions
	samples  *trial.Samples
	laps     *trial.Samples   // the samples where they are a table of laps; nil for a recording
	targets  string           // of every effort, see [Proposal]
	prepared *derive.Prepared // nil until they are first compared
	stale    bool             // the result is not of what the rows say
	exact    bool             // the result is as exact as a derive
	view     ownView
}

// OwnBlock is one block as typed: the shoe's name, and seconds or m:ss. A block
// without a shoe does not count. Note says where it was read from.
type OwnBlock struct {
	Cells [OwnCells]string
	Note  string
}

// The cells of a block.
const (
	OwnShoe = iota
	OwnStart
	OwnEnd
	OwnCells
)

// Actions on the reader's own recording.
const (
	DoOwnEffort      = "own-effort"
	DoOwnTarget      = "own-target"
	DoOwnCell        = "own-cell" // on row/cell, both counted from 0
	DoOwnEdge        = "own-edge" // the same; value seconds from the start of the recording
	DoOwnAddBlock    = "own-more" // one more block
	DoOwnRemoveBlock = "own-less" // without the last one
	DoOwnDelete      = "own-forget"
	DoOwnZoom        = "own-zoom"   // see [Zooms]
	DoOwnView        = "own-view"   // value from,to in seconds
	DoOwnCursor      = "own-at"     // value seconds from the start, blank for none
	DoOwnColumn      = "own-column" // on a channel's column; value a heading, blank for none
	DoOwnRead        = "own-read"   // read the file again with the chosen columns
	DoOwnAnyway      = "own-anyway" // read a doubtful file
	DoOwnDay         = "own-day"
	DoOwnSave        = "own-save" // save the folder of its session, see [Model.OwnFolder]
)

// maxOwnBlocks is how many blocks one recording may be cut into.
const maxOwnBlocks = 60

// Own returns the reader's own recording, nil when there is none.
func (m *Model) Own() *OwnRecording { return m.own }

// OwnNotice says what came of the last file that the reader opened.
func (m *Model) OwnNotice() string { return m.ownNotice }

// OwnDoubt reports whether [Model.OwnNotice] says that a file is doubtful, which the reader may
// open anyway.
func (m *Model) OwnDoubt() bool { return m.ownDoubt }

// SetOwnNotice sets what [Model.OwnNotice] and [Model.OwnDoubt] return, and ends
// [Model.OwnReading].
func (m *Model) SetOwnNotice(notice string, doubt bool) {
	m.ownNotice, m.ownDoubt, m.ownReading = notice, doubt, false
}

// ReadOwn says by a notice that a file of the reader's is being read.
func (m *Model) ReadOwn(notice string) { m.ownNotice, m.ownDoubt, m.ownReading = notice, false, true }

// OwnReading reports whether a file is being read. It is about to replace [Model.Own], in
// which nothing should be typed meanwhile; where it cannot be read, that is as it was.
func (m *Model) OwnReading() bool { return m.ownReading }

// InOurFormat reports whether a file's first line is that of a recording in this
// project's form; every other file has to be converted first.
func InOurFormat(content []byte) bool {
	line, _, _ := strings.Cut(string(content[:min(len(content), 1024)]), "\n")
	elapsed := false
	for _, heading := range strings.Split(strings.TrimSpace(strings.TrimPrefix(line, "\ufeff")), ",") {
		if heading == trial.ElapsedColumn {
			elapsed = true
		} else if _, known := trial.ChannelNamed(heading); !known {
			return false
		}
	}
	return elapsed
}

// OpenOwn takes a recording in this project's form: CSV with elapsed_s and at least
// one channel, and what was found in it. Notes are what a reader should know, one on each
// line. What cannot be read leaves everything as it was and says why.
func (m *Model) OpenOwn(name string, text []byte, found Proposal, notes string) bool {
	samples, problems := plaintext.ReadSamples(text, name)
	if len(problems) > 0 {
		m.ownNotice = "The recording cannot be read: " + problems[0].Error()
		if more := len(problems) - 1; more > 0 {
			m.ownNotice += fmt.Sprintf(", and %d more problems", more)
		}
		m.ownNotice += ". Correct the file, or export it again, and open it once more."
		return false
	}
	m.own = &OwnRecording{Name: name, Day: found.Day, text: text, samples: samples, Notes: splitLines(notes),
		stale: true}
	read := units.Count(samples.Len(), "sample")
	if found.Laps {
		read = units.Count(samples.Len()-1, "lap") // the last row ends it
		m.own.laps = samples
	}
	m.own.propose(found)
	m.ownNotice = fmt.Sprintf("%q is read, %s, %s proposed. It stays in this browser.", name, read,
		units.Count(m.own.proposedBlocks(), "block"))
	return true
}

// HasSamples is false of a table of laps, of which there are means alone.
func (o *OwnRecording) HasSamples() bool { return o.laps == nil }

// splitLines splits a text into its lines; none of an empty one.
func splitLines(text string) []string {
	if text == "" {
		return nil
	}
	return strings.Split(text, "\n")
}

// doOwn takes one action on the reader's own recording.
func (m *Model) doOwn(kind, what, value string) {
	o := m.own
	// Columns can be chosen before a file could be read.
	if kind == DoOwnColumn {
		m.chooseColumn(what, value)
		return
	}
	if o == nil {
		return
	}
	// What does not change the result ends here; all else makes it stale.
	switch kind {
	case DoOwnDay:
		o.Day = value
		return
	case DoOwnDelete:
		m.own, m.ownColumns, m.ownNotice = nil, nil, "Your recording is deleted from this browser."
		return
	case DoOwnEffort:
		o.Effort, o.Target = trial.Effort(value), ""
		o.proposeTarget()
	case DoOwnTarget:
		o.Target = value
	case DoOwnAddBlock:
		o.Rows = append(o.Rows, OwnBlock{})[:min(len(o.Rows)+1, maxOwnBlocks)]
	case DoOwnRemoveBlock:
		o.Rows = o.Rows[:max(len(o.Rows)-1, 2)]
	case DoOwnCell:
		o.setCell(what, value)
	case DoOwnEdge:
		if at, err := units.ParseDecimal(value); err == nil {
			o.setCell(what, units.FormatClock(min(max(at, 0), o.Span())))
		}
	}
	o.stale = true
}

// setCell fills one cell, named row/cell.
func (o *OwnRecording) setCell(what, value string) {
	row, cell, _ := strings.Cut(what, "/")
	i, errRow := strconv.Atoi(row)
	j, errCell := strconv.Atoi(cell)
	if errRow == nil && errCell == nil && i >= 0 && i < len(o.Rows) && j >= 0 && j < OwnCells {
		o.Rows[i].Cells[j] = value
	}
}
