package app

import (
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Proposal is what was found in a recording by whoever read it.
type Proposal struct {
	Laps   bool   // it is a table with one row for each lap and a last one that ends it
	Blocks string // on each line start and end, s, and a note
	Effort string // the effort that was probably held; "" where nothing shows it
	// Targets are, on each line, an effort, an equals sign, and what it was held at.
	Targets string
	Day     string // when it was run; "" where nothing tells
}

// propose fills the rows with the blocks that are proposed, and what was held.
func (o *OwnRecording) propose(p Proposal) {
	for _, line := range splitLines(p.Blocks) {
		start, rest, _ := strings.Cut(line, ",")
		end, note, _ := strings.Cut(rest, ",")
		o.addBlock(start, end, note)
	}
	for len(o.Rows) < 2 {
		o.Rows = append(o.Rows, OwnBlock{})
	}
	if o.Effort = trial.Effort(p.Effort); o.Effort == "" {
		o.Effort = trial.Power
	}
	o.targets = p.Targets
	o.proposeTarget()
}

func (o *OwnRecording) addBlock(start, end, note string) {
	if len(o.Rows) == maxOwnBlocks {
		return
	}
	row, texts := OwnBlock{Note: note}, [OwnCells]string{OwnStart: start, OwnEnd: end}
	for cell, text := range texts {
		if at, err := units.ParseDecimal(text); err == nil {
			row.Cells[cell] = units.FormatClock(at)
		}
	}
	o.Rows = append(o.Rows, row)
}

// proposedBlocks is how many blocks have a beginning.
func (o *OwnRecording) proposedBlocks() (n int) {
	for _, row := range o.Rows {
		if row.Cells[OwnStart] != "" {
			n++
		}
	}
	return n
}

// proposeTarget writes what the blocks were held at, where nothing is written.
func (o *OwnRecording) proposeTarget() {
	for _, line := range splitLines(o.targets) {
		if effort, target, _ := strings.Cut(line, "="); o.Target == "" && trial.Effort(effort) == o.Effort {
			o.Target = target
		}
	}
}
