package intake

import (
	"fmt"
	"slices"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/recording"
	"soletrial/pipeline/recording/segment"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// placed is what one device recorded, with its place on the session's clock.
type placed struct {
	piece
	fact trial.RecordingFact
}

// evidence is what blocks are found by, on the session's clock: the recordings that
// follow each other in time are taken as one, and of several such the longest
// that tells effort is taken. Laps are taken from it, or else from another one.
func (in *Import) evidence() segment.Evidence {
	// A table of laps alone is its own evidence.
	reads := make([]*recording.Import, len(in.placed))
	for i, p := range in.placed {
		reads[i] = p.read
	}
	var e segment.Evidence
	var laps []trial.Lap
	if in.byLapTable() {
		table := in.lapTable.read
		e = segment.Evidence{Samples: segment.LapSamples(table.LapTable), Laps: table.Laps}
	}
	// Of the recordings, each on the session's clock, the longest that tells effort.
	for _, group := range recording.Groups(reads, true) {
		parts := make([]*recording.Import, len(group))
		for i, k := range group {
			parts[i] = reads[k]
		}
		first := trial.Recording{Fact: in.placed[group[0]].fact}
		one := onClock(recording.Join(parts), first.Offset())
		if len(laps) == 0 {
			laps = one.Laps
		}
		_, tells := segment.Effort(one.Samples)
		if tells && (e.Samples == nil || e.Samples.Len() < one.Samples.Len()) {
			e = one
		}
	}
	// Laps of another device serve where it has none.
	if len(e.Laps) == 0 {
		e.Laps = laps
	}
	in.describeEvidence(&e)
	return e
}

// describeEvidence adds what the session says of its blocks.
func (in *Import) describeEvidence(e *segment.Evidence) {
	facts := &in.Session.Facts
	e.Effort, e.BlockS, e.IgnoreLaps = in.Session.Effort(), facts.Protocol.BlockS, in.options.NoLaps
	e.Target, _ = trial.ParseTarget(e.Effort, facts.Target)
	if p := in.Session.Plan; p != nil {
		e.BlockS, e.Count = p.BlockS, len(p.Order)
	}
	if n := len(in.options.Shoes); n > 0 {
		e.Count = n
	}
}

// onClock moves a recording to another clock.
func onClock(r *recording.Import, offset float64) segment.Evidence {
	e := segment.Evidence{Samples: &trial.Samples{Values: r.Samples.Values}}
	for _, t := range r.Samples.Elapsed {
		e.Samples.Elapsed = append(e.Samples.Elapsed, t+offset)
	}
	for _, lap := range r.Laps {
		lap.StartS, lap.EndS = lap.StartS+offset, lap.EndS+offset
		e.Laps = append(e.Laps, lap)
	}
	for _, p := range r.Pauses {
		e.Pauses = append(e.Pauses, trial.Pause{StartS: p.StartS + offset, EndS: p.EndS + offset})
	}
	return e
}

// proposeBlocks adds a blocks.csv, unless the session has blocks that still fit its
// recordings.
func (in *Import) proposeBlocks() error {
	path := in.Session.Folder() + "/blocks.csv"
	old := in.Session.Blocks
	if len(old) > 0 && !in.replaced {
		return in.fillOld(path)
	}
	in.Evidence = in.evidence()
	blocks, source := in.findBlocks()
	if err := in.assignShoes(blocks); err != nil {
		in.Blocks = blocks
		return err
	}
	if len(old) > 0 {
		in.carryOver(blocks, old)
	}
	in.Blocks = blocks
	target, _ := trial.ParseTarget(in.Session.Effort(), in.Session.Facts.Target)
	in.Files[path] = plaintext.AppendBlocks(nil, in.Session.Effort(), target, blocks)
	in.sayNext(path, source)
	return nil
}

// sayNext says what was found, and what is left to do by hand.
func (in *Import) sayNext(path, source string) {
	if len(in.Blocks) == 0 {
		in.remark("no block found: the recording has no clear effort of a minute or more; write the rows of %s "+
			"yourself", path)
		return
	}
	blank := 0
	for _, b := range in.Blocks {
		if b.Shoe == "" && !b.Excluded {
			blank++
		}
	}
	found := fmt.Sprintf("found %s by %s", units.Count(len(in.Blocks), "block"), source)
	if blank == 0 {
		in.remark("%s; next: %s", found, in.options.NextCommand("check"))
		return
	}
	in.remark("%s; write the shoe of each into %s, then %s", found, path, in.options.NextCommand("check"))
}

// findBlocks finds blocks, on the session's clock, and says by what.
func (in *Import) findBlocks() (blocks []trial.Block, source string) {
	if in.given != nil {
		return in.given, "the session's own blocks.csv"
	}
	in.Found = segment.Propose(in.Evidence)
	if log := in.Session.FieldLog; log != nil && len(log.Blocks) > 0 {
		if blocks, ok := in.blocksOfLog(log); ok {
			return blocks, "the field log"
		}
	}
	source = in.Found.Channel.Info().Label
	switch {
	case in.Found.Laps > 0:
		source = "laps and " + source
	case in.Found.Automatic > 0:
		source += "; " + units.Count(in.Found.Automatic, "automatic lap") + " ignored"
	}
	rows := in.Found.Rows()
	if in.byLapTable() {
		segment.MeasureByLaps(rows, in.lapTable.read.LapTable)
		source = "the table of laps"
	}
	return rows, source
}

// fillOld leaves the blocks of a session as they are, but for shoes that are given
// and not there yet.
func (in *Import) fillOld(path string) error {
	if len(in.options.Shoes) == 0 {
		in.remark("%s has blocks already, which stay as they are", path)
		if in.options.MatchPlan {
			in.remark("--match-plan was ignored: it matches only blocks that are new")
		}
		return nil
	}
	blocks := slices.Clone(in.Session.Blocks)
	if err := in.assignShoes(blocks); err != nil {
		return err
	}
	target, _ := trial.ParseTarget(in.Session.Effort(), in.Session.Facts.Target)
	in.Files[path] = plaintext.AppendBlocks(nil, in.Session.Effort(), target, blocks)
	in.Blocks = blocks
	return nil
}

// carryOver gives new blocks what a person wrote about the old ones: the block that
// shares at least half of its time with an old one is the same.
func (in *Import) carryOver(blocks, old []trial.Block) {
	carried := 0
	for i := range blocks {
		b := &blocks[i]
		for _, o := range old {
			if shared := min(b.End, o.End) - max(b.Start, o.Start); shared < b.Duration()/2 {
				continue
			}
			start, end, shoe, id := b.Start, b.End, b.Shoe, b.ID
			*b = o
			b.Start, b.End, b.ID = start, end, id
			if shoe != "" {
				b.Shoe = shoe
			}
			carried++
			break
		}
	}
	in.remark("the recording has changed: the blocks were found again, and %d of %d kept the shoe and notes of "+
		"the earlier block", carried, len(blocks))
}

// matchPlan writes the shoes of a plan into blocks where only one planned block
// matches, and says what is left open.
func (in *Import) matchPlan(p *trial.PlanFacts, blocks []trial.Block) {
	if in.assignShoesBySteps(p, blocks) {
		return
	}
	// The planned blocks, and the lengths of those that count as run.
	planned := make([]segment.Planned, len(p.Order))
	for i, shoe := range p.Order {
		planned[i] = segment.Planned{Shoe: shoe, DurationS: p.BlockS}
	}
	var durations []float64
	var indices []int
	for i := range blocks {
		if !blocks[i].Excluded {
			durations, indices = append(durations, blocks[i].Duration()), append(indices, i)
		}
	}
	match := segment.Match(durations, planned)
	whole := len(durations) == len(planned) && !slices.Contains(match.Of, -1)
	if !whole && !in.options.MatchPlan {
		in.remark("the plan has %s, %d were found: write the shoes yourself, or try --match-plan",
			units.Count(len(planned), "block"), len(durations))
		return
	}
	// Shoes where there is one possibility, a remark where there is not.
	matched := 0
	for i, j := range match.Of {
		block := &blocks[indices[i]]
		switch {
		case j >= 0:
			block.Shoe = planned[j].Shoe
			matched++
		case len(match.Could[i]) > 0:
			in.remark("block %q could be any of %s of the plan: write its shoe yourself",
				block.ID, units.Count(len(match.Could[i]), "block"))
		default:
			in.remark("block %q matches nothing in the plan: write its shoe yourself, or set include to no", block.ID)
		}
	}
	for _, j := range match.Missed {
		in.remark("block %d of the plan (%s) was not found", j+1, planned[j].Shoe)
	}
	in.remark("%d of %s matched to the plan; check them", matched, units.Count(len(durations), "block"))
}

// countFailure is a failure of a number of shoes that is not that of the blocks.
func countFailure(shoes, blocks int) error {
	return voice.Usage("name the shoe of every block above, in that order; if a block is missing or one too many was "+
		"found, import without --shoes and edit blocks.csv", "--shoes names %s, but %s", units.Count(shoes, "shoe"),
		units.Plural(blocks, "block was found", "blocks were found"))
}
