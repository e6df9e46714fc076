package intake

import (
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/recording"
	"soletrial/pipeline/recording/segment"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// collectForBlocks takes from a file what blocks may be proposed from, on the
// session's clock: the laps of the first file that has some, the samples and pauses
// of the longest that tells effort.
func (in *Import) collectForBlocks(got *recording.Import, fact trial.RecordingFact) {
	r := trial.Recording{Fact: fact}
	if len(in.laps) == 0 {
		for _, lap := range got.Laps {
			lap.StartS += r.Offset()
			lap.EndS += r.Offset()
			in.laps = append(in.laps, lap)
		}
	}
	if _, ok := segment.Effort(got.Samples); !ok || in.effort != nil && in.effort.Len() >= got.Samples.Len() {
		return
	}
	shifted := *got.Samples
	shifted.Elapsed = make([]float64, got.Samples.Len())
	for i, t := range got.Samples.Elapsed {
		shifted.Elapsed[i] = t + r.Offset()
	}
	in.effort, in.pauses = &shifted, nil
	for _, p := range got.Pauses {
		in.pauses = append(in.pauses, trial.Pause{StartS: p.StartS + r.Offset(), EndS: p.EndS + r.Offset()})
	}
}

// proposeBlocks adds a blocks.csv from changes of effort and laps, unless the session
// has blocks already.
func (in *Import) proposeBlocks() {
	path := in.Session.Folder() + "/blocks.csv"
	if len(in.Session.Blocks) > 0 {
		if len(in.laps) > 0 {
			in.remark("%s has blocks already; the laps were ignored", path)
		}
		if in.options.MatchPlan {
			in.remark("--match-plan was ignored: it matches only blocks that are proposed")
		}
		return
	}
	// From effort and laps, with the shoes of the plan.
	blocks, source := in.findBlocks()
	if in.options.MatchPlan {
		in.matchPlan(in.Session.Plan, blocks)
	}
	target, _ := trial.ParseTarget(in.Session.Effort(), in.Session.Facts.Target)
	in.Files[path] = plaintext.AppendBlocks(nil, in.Session.Effort(), target, blocks)
	// What is left to do by hand.
	if len(blocks) == 0 {
		in.remark("no laps to propose blocks from: write the rows of %s yourself", path)
		return
	}
	in.remark("proposed %s from %s; write the shoe of each into %s, then %s",
		units.Count(len(blocks), "block"), source, path, in.options.NextCommand("check"))
}

// matchPlan writes the shoes of a plan into proposed blocks where only one planned
// block matches, and says what is left open.
func (in *Import) matchPlan(p *trial.PlanFacts, blocks []trial.Block) {
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
	// Shoes where there is one possibility, a remark where there is not.
	matched := 0
	match := segment.Match(durations, planned)
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

// findBlocks proposes blocks, on the session's clock, and says from what.
func (in *Import) findBlocks() (blocks []trial.Block, source string) {
	if in.effort == nil {
		return nil, ""
	}
	e := segment.Evidence{
		Samples: in.effort, Laps: in.laps, Pauses: in.pauses,
		Effort: in.Session.Effort(), BlockS: in.Session.Facts.Protocol.BlockS,
	}
	e.Target, _ = trial.ParseTarget(e.Effort, in.Session.Facts.Target)
	if p := in.Session.Plan; p != nil {
		e.BlockS, e.Count = p.BlockS, len(p.Order)
	}
	found := segment.Propose(e)
	source = "changes of " + found.Channel.Info().Label
	switch {
	case found.Laps > 0:
		source = "laps and " + source
	case found.Automatic > 0:
		source += "; " + units.Count(found.Automatic, "automatic lap") + " ignored"
	}
	return found.Rows(), source
}
