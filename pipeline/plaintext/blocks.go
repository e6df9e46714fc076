package plaintext

import (
	"cmp"
	"slices"

	"soletrial/pipeline/stable"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// blocksFile is the table of blocks in a session's folder.
const blocksFile = "blocks.csv"

type blockRow struct {
	Block       cell `csv:"block" need:"column"`
	Shoe        cell `csv:"shoe" need:"column"`
	Start       cell `csv:"start_s" need:"column"`
	End         cell `csv:"end_s" need:"column"`
	Target      cell `csv:"target"`
	DistanceM   cell `csv:"distance_m"`
	Laps        cell `csv:"laps"`
	Sensor      cell `csv:"sensor"`
	RPE         cell `csv:"rpe"`
	ComfortMm   cell `csv:"comfort_mm"`
	Include     cell `csv:"include"`
	Reason      cell `csv:"reason"`
	Note        cell `csv:"note"`
	Power       cell `csv:"power_w"`
	Speed       cell `csv:"speed_mps"`
	HeartRate   cell `csv:"heart_rate_bpm"`
	Cadence     cell `csv:"cadence_spm"`
	StepLength  cell `csv:"step_length_m"`
	Contact     cell `csv:"contact_ms"`
	Oscillation cell `csv:"oscillation_cm"`
	Oxygen      cell `csv:"oxygen_ml_kg_min"`
}

// measured returns the cells of the measured columns in the order of [trial.Measure].
func (w *blockRow) measured() [trial.MeasureCount]*cell {
	return [...]*cell{&w.Power, &w.Speed, &w.HeartRate, &w.Cadence, &w.StepLength, &w.Contact, &w.Oscillation,
		&w.Oxygen}
}

// measuredDecimals are the decimals of the measured columns in canonical form.
var measuredDecimals = [trial.MeasureCount]int{1, 4, 1, 2, 4, 1, 2, 2}

// blockContext is what a row of blocks.csv cannot say itself.
type blockContext struct {
	effort        trial.Effort
	sessionTarget float64
	timed         bool     // the session has recordings, so start and end are needed
	shoes         []string // known ids; nil when the register could not be read
}

// readBlocks reads blocks.csv into blocks by start, then in file order; whole is
// false when rows are lost.
func readBlocks(src source, context blockContext, r *report) (blocks []trial.Block, whole bool) {
	rows, whole := readTable[blockRow](src, r)
	taken := map[string]int{}
	for _, row := range rows {
		blocks = append(blocks, row.block(context, r, taken))
	}
	sortBlocks(blocks)
	return blocks, whole
}

func (w *blockRow) block(context blockContext, r *report, taken map[string]int) trial.Block {
	b := trial.Block{
		ID: r.id(w.Block, blockLetters, blockIDHint, taken), Shoe: r.knownID(w.Shoe, shoesFile, context.shoes),
		Start: r.number(w.Start, atLeast0), End: r.number(w.End, atLeast0),
		Target:    r.target(w.Target, context),
		DistanceM: r.number(w.DistanceM, positive), Laps: r.number(w.Laps, positive),
		Sensor: r.text(w.Sensor), RPE: r.number(w.RPE, zeroToTen), ComfortMm: r.number(w.ComfortMm, zeroTo100),
		Excluded: r.oneOf(w.Include, []string{"yes", "no"}) == "no", Reason: r.text(w.Reason), Note: r.text(w.Note),
		At: w.Block.at,
	}
	for m, c := range w.measured() {
		b.Measured[m] = r.number(*c, positive)
	}
	w.checkTimes(b, context, r)
	if b.Excluded && w.Reason.blank() {
		r.complain(w.Include, "fill in the column reason", "the block is excluded without a reason")
	}
	return b
}

func (w *blockRow) checkTimes(b trial.Block, context blockContext, r *report) {
	if context.timed {
		for _, c := range []cell{w.Start, w.End} {
			if c.blank() {
				r.complain(c, "a session with recordings needs the time of every block", "is blank")
			}
		}
	}
	if b.Duration() <= 0 {
		r.complain(w.End, "the end of a block comes after its start", "%s is not after start_s %s", w.End.text,
			w.Start.text)
	}
}

// knownID reads the id of a row of a register; blank stays blank. known is nil
// when the register could not be read and nothing can be said.
func (r *report) knownID(c cell, register string, known []string) string {
	if !c.blank() && known != nil && !slices.Contains(known, c.text) {
		r.complain(c, suggestOr(c.text, known, "add it to "+register), "%q is not in %s", c.text, register)
	}
	return c.text
}

// target reads a block's own target; the session's stands in for a blank.
func (r *report) target(c cell, context blockContext) float64 {
	if c.blank() || !slices.Contains(effortNames, string(context.effort)) {
		return context.sessionTarget
	}
	target, err := trial.ParseTarget(context.effort, c.text)
	if err != nil {
		message, hint := syntax(err)
		r.complain(c, hint, "%s", message)
		return units.Missing
	}
	if target <= 0 {
		r.complain(c, positive.words, "%s is out of range", c.text)
	}
	return target
}

var effortNames = []string{string(trial.Power), string(trial.Pace), string(trial.HeartRate)}

// sortBlocks puts blocks in time order, those without a start last; blocks that
// start together stay as they are.
func sortBlocks(blocks []trial.Block) {
	stable.Sort(blocks, func(a, b trial.Block) int {
		if known := units.Known(a.Start); known != units.Known(b.Start) {
			if known {
				return -1
			}
			return 1
		} else if !known {
			return 0
		}
		return cmp.Compare(a.Start, b.Start)
	})
}

// AppendBlocks appends blocks.csv in canonical form, in time order. The target
// of a block is left blank where it is the session's.
func AppendBlocks(dst []byte, effort trial.Effort, sessionTarget float64, blocks []trial.Block) []byte {
	ordered := slices.Clone(blocks)
	sortBlocks(ordered)
	rows := make([]blockRow, len(ordered))
	for i, b := range ordered {
		rows[i] = rowOfBlock(b, effort, sessionTarget)
	}
	return appendTable(dst, rows, required(columnsOf[blockRow]()))
}

func rowOfBlock(b trial.Block, effort trial.Effort, sessionTarget float64) blockRow {
	row := blockRow{
		Block: written(b.ID), Shoe: written(b.Shoe), Start: decimal(b.Start, 1), End: decimal(b.End, 1),
		DistanceM: decimal(b.DistanceM, 1), Laps: decimal(b.Laps, 3), Sensor: written(b.Sensor),
		RPE: decimal(b.RPE, 1), ComfortMm: decimal(b.ComfortMm, 0),
		Reason: written(b.Reason), Note: written(b.Note),
	}
	if own := trial.FormatTarget(effort, b.Target); own != trial.FormatTarget(effort, sessionTarget) {
		row.Target = written(own)
	}
	if b.Excluded {
		row.Include = written("no")
	}
	for m, c := range row.measured() {
		*c = decimal(b.Measured[m], measuredDecimals[m])
	}
	return row
}
