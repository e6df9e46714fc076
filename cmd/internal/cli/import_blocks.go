package cli

import (
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/recording"
	"soletrial/pipeline/recording/segment"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// keepForBlocks keeps of a file what blocks may be proposed from: the laps of the
// first file that has some, the samples of the longest that tells effort.
func (in *intake) keepForBlocks(got *recording.Import, fact trial.RecordingFact) {
	r := trial.Recording{Fact: fact}
	if len(in.laps) == 0 {
		for _, lap := range got.Laps {
			lap.StartS += r.Offset()
			lap.EndS += r.Offset()
			in.laps = append(in.laps, lap)
		}
	}
	if _, ok := segment.Effort(got.Samples); ok && (in.samples == nil || in.samples.Len() < got.Samples.Len()) {
		in.pauses = nil
		shifted := *got.Samples
		shifted.Elapsed = make([]float64, got.Samples.Len())
		for i, t := range got.Samples.Elapsed {
			shifted.Elapsed[i] = t + r.Offset()
		}
		in.samples = &shifted
		for _, p := range got.Pauses {
			in.pauses = append(in.pauses, trial.Pause{StartS: p.StartS + r.Offset(), EndS: p.EndS + r.Offset()})
		}
	}
}

// proposeBlocks writes blocks.csv from the laps, or from changes of effort where
// nobody pressed laps, unless it has rows already.
func (a *app) proposeBlocks(in *intake) {
	path := in.session.Folder() + "/blocks.csv"
	if len(in.session.Blocks) > 0 {
		if len(in.laps) > 0 {
			a.Remark("%s has blocks already; the laps were not looked at", path)
		}
		if in.fitPlan {
			a.Remark("--fit-plan has nothing to do: it fits blocks that are proposed")
		}
		return
	}
	blocks, source := in.findBlocks()
	if in.fitPlan {
		a.fitToPlan(in.session.Plan, blocks)
	}
	target, _ := trial.ParseTarget(in.session.Effort(), in.session.Facts.Target)
	in.files[path] = plaintext.AppendBlocks(nil, in.session.Effort(), target, blocks)
	if len(blocks) == 0 {
		a.Remark("no laps to propose blocks from: write the rows of %s yourself", path)
		return
	}
	a.Remark("proposed %s from %s; write the shoe of each into %s, then %s", units.Count(len(blocks), "block"), source, path, a.NextCommand("check"))
}

// fitToPlan writes the shoes of a plan into proposed blocks where nothing but one
// planned block fits, and says what is left open.
func (a *app) fitToPlan(p *trial.PlanFacts, blocks []trial.Block) {
	planned := make([]segment.Planned, len(p.Order))
	for i, shoe := range p.Order {
		planned[i] = segment.Planned{Shoe: shoe, DurationS: p.BlockS}
	}
	var found []float64
	var places []int
	for i := range blocks {
		if !blocks[i].Excluded {
			found, places = append(found, blocks[i].Duration()), append(places, i)
		}
	}
	fitted := 0
	fit := segment.Match(found, planned)
	for i, of := range fit.Of {
		switch {
		case of >= 0:
			blocks[places[i]].Shoe = planned[of].Shoe
			fitted++
		case len(fit.Could[i]) > 0:
			a.Remark("block %q could be any of %s of the plan: write its shoe yourself", blocks[places[i]].ID, units.Count(len(fit.Could[i]), "block"))
		default:
			a.Remark("block %q fits nothing in the plan: write its shoe yourself, or set include to no", blocks[places[i]].ID)
		}
	}
	for _, j := range fit.Missed {
		a.Remark("block %d of the plan (%s) was not found", j+1, planned[j].Shoe)
	}
	a.Remark("%d of %s fitted to the plan; look them over", fitted, units.Count(len(found), "block"))
}

// findBlocks proposes blocks, on the session's clock, and says from what.
func (in *intake) findBlocks() (blocks []trial.Block, source string) {
	if in.samples == nil {
		return nil, ""
	}
	e := segment.Evidence{Samples: in.samples, Laps: in.laps, Pauses: in.pauses, Effort: in.session.Effort(), BlockS: in.session.Facts.Protocol.BlockS}
	e.Target, _ = trial.ParseTarget(e.Effort, in.session.Facts.Target)
	if p := in.session.Plan; p != nil {
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
