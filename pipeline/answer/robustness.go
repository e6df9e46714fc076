package answer

import (
	"slices"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/trial"
)

// Robustness makes the analyses of the family of [decide.Variants] for every group, and
// grades the evidence by how many give the same leader. Workers changes no number.
func (a *Answers) Robustness(in Inputs, workers int) {
	step := a.counted(in.Step)
	for i := range a.Efforts {
		e := &a.Efforts[i]
		for g := range e.Groups {
			e.Groups[g].Analyses = e.analyses(&e.Groups[g], workers, step)
			e.Groups[g].WithoutAssumptions = in.withoutAssumptions(e.Effort, &e.Groups[g])
			e.Groups[g].regrade()
		}
	}
}

// counted returns what to call after each analysis.
func (a *Answers) counted(step func(made, of int)) func() {
	if step == nil {
		return func() {}
	}
	made, of := 0, 0
	for i := range a.Efforts {
		of += len(a.Efforts[i].Groups) * len(a.Efforts[i].family())
	}
	return func() {
		made++
		step(made, of)
	}
}

// withoutAssumptions finds the analysis without assumptions of a group's shoes.
func (in Inputs) withoutAssumptions(effort trial.Effort, g *Group) *Compared {
	for i := range in.WithoutAssumptions {
		c := &in.WithoutAssumptions[i]
		if c.Effort == effort && g.place(c.Shoe) != nil && g.place(c.Reference) != nil {
			return c
		}
	}
	return nil
}

// place returns a shoe's place, nil where it is not in the group.
func (g *Group) place(shoe string) *Place {
	for i := range g.Places {
		if g.Places[i].Shoe == shoe {
			return &g.Places[i]
		}
	}
	return nil
}

// SameLeader counts the analyses that have the group's leader, of how many.
func (g *Group) SameLeader() (same, of int) {
	same, of = decide.SameLeader(g.Analyses, g.Places[0].Shoe), len(g.Analyses)
	if c := g.WithoutAssumptions; c != nil {
		of++
		if c.Shoe == g.Places[0].Shoe {
			same++
		}
	}
	return same, of
}

// regrade takes the analyses into the evidence.
func (g *Group) regrade() {
	if len(g.Analyses) == 0 {
		return
	}
	same, of := g.SameLeader()
	share := float64(same) / float64(of)
	for i := range g.Pairs {
		p := &g.Pairs[i]
		p.testing.Robust = share
		p.Evidence, p.Lacks = decide.Grade(p.testing)
	}
}

// analyses makes the family for one group.
func (e *Effort) analyses(g *Group, workers int, step func()) []decide.Analysis {
	around := decide.Around{Published: e.Posterior, Shoe: g.Places[0].Shoe, Of: e.variant, Step: step}
	return decide.Analyse(e.family(), around, workers)
}

// family lists the analyses of an effort.
func (e *Effort) family() []decide.Variant {
	names := make([]decide.BlockName, 0, len(e.blocks))
	for i := range e.blocks {
		names = append(names, decide.BlockName{Session: e.blocks[i].Session, Block: e.blocks[i].ID})
	}
	return decide.Variants(e.Settings.Drift, names, e.Sensing.MayShare())
}

// variant returns the blocks of one analysis and the sensor's errors in it.
func (e *Effort) variant(v decide.Variant) (blocks []decide.Block, errors func(shoes []string) decide.Sensor) {
	window := slices.Index(decide.Windows, v.Window)
	sensed, which := modelBlocks(e.blocks, window, e.Outcome)
	kept := sensed[:0]
	for i, s := range sensed {
		b := &e.blocks[which[i]]
		if !v.LeavesOut(decide.BlockName{Session: b.Session, Block: b.ID}) {
			kept = append(kept, s)
		}
	}
	return e.Sensing.Correct(kept, v.Shared), func(shoes []string) decide.Sensor {
		return e.Sensing.Errors(shoes, kept, v.Shared)
	}
}
