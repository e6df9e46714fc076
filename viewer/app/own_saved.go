package app

import (
	"strings"

	"soletrial/pipeline/checksum"
	"soletrial/pipeline/trial"
)

// The lines of what is kept about a recording: three at the front, then blocks
// and notes, distinguished by the sign before a note.
const (
	ownHeaderLines = 3
	notePrefix     = "#"
	lapsMark       = ",laps" // after the hash of a table of laps
)

// OwnCSV returns the reader's recording in this project's form, for the
// store; nothing where there is none.
func (m *Model) OwnCSV() []byte {
	if m.own == nil {
		return nil
	}
	return m.own.text
}

// OwnBlocksText writes how the reader's recording is cut, for the store, and the hash
// of the recording that it belongs to; nothing where there is none.
func (m *Model) OwnBlocksText() []byte {
	if m.own == nil {
		return nil
	}
	kind := ""
	if !m.own.HasSamples() {
		kind = lapsMark
	}
	text := []string{escape(m.own.Name), string(m.own.Effort) + "," + checksum.SHA256(m.own.text) + kind,
		escape(m.own.Target) + "," + escape(m.own.targets) + "," + escape(m.own.Day)}
	for _, row := range m.own.Rows {
		cells := append(row.Cells[:], row.Note)
		for i := range cells {
			cells[i] = escape(cells[i])
		}
		text = append(text, strings.Join(cells, ","))
	}
	for _, note := range m.own.Notes {
		text = append(text, notePrefix+escape(note))
	}
	return []byte(strings.Join(text, "\n"))
}

// SameRecording reports whether two texts of [Model.OwnBlocksText] are of one recording.
func SameRecording(a, b []byte) bool {
	of := func(text []byte) string {
		_, rest, _ := strings.Cut(string(text), "\n")
		line, _, _ := strings.Cut(rest, "\n")
		_, hash, _ := strings.Cut(line, ",")
		return hash
	}
	return of(a) == of(b)
}

// RestoreOwn brings back a recording with what [Model.OwnBlocksText] wrote. A recording that
// is not the one it was written for is left out, and said so.
func (m *Model) RestoreOwn(cut, recording []byte) {
	kept := strings.Split(string(cut), "\n")
	if len(kept) < ownHeaderLines || len(recording) == 0 {
		return // deleted, or about to be when the page was left
	}
	effort, hash, _ := strings.Cut(kept[1], ",")
	hash, laps := strings.CutSuffix(hash, lapsMark)
	if hash != "" && hash != checksum.SHA256(recording) { // version 1 of the explorer kept no hash
		m.ownNotice = "The recording that this browser kept is damaged: open the file once more."
		return
	}
	if !m.OpenOwn(unescape(kept[0]), recording, Proposal{Laps: laps}, "") {
		return
	}
	o := m.own
	target, rest, _ := strings.Cut(kept[2], ",")
	targets, day, _ := strings.Cut(rest, ",")
	o.targets, o.Day = unescape(targets), unescape(day)
	m.ownNotice, o.Effort, o.Target, o.Rows = "", trial.Effort(effort), unescape(target), nil
	for _, line := range kept[ownHeaderLines:] {
		if note, is := strings.CutPrefix(line, notePrefix); is {
			o.Notes = append(o.Notes, unescape(note))
		} else if len(o.Rows) < maxOwnBlocks {
			o.Rows = append(o.Rows, parseOwnBlock(line))
		}
	}
}

func parseOwnBlock(line string) (row OwnBlock) {
	for j, cell := range strings.SplitN(line, ",", OwnCells+1) {
		if j < OwnCells {
			row.Cells[j] = unescape(cell)
		} else {
			row.Note = unescape(cell)
		}
	}
	return row
}
