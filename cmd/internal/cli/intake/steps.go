package intake

import (
	"math"

	"soletrial/pipeline/trial"
)

// workoutStep returns the step, from 0, that a planned block is, counted from 0 too, in the
// workout that `plan --workout` writes: the warm-up if there is one, then for every block the
// change of shoes and the block.
func workoutStep(p *trial.PlanFacts, block int) int {
	step := 2*block + 1
	if p.WarmUpS > 0 {
		step++
	}
	return step
}

// stepShare is by which share of its planned length a block may differ to be the step that a lap
// says it is. About as much as for blocks that are matched by their lengths.
const stepShare = 0.25

// assignShoesBySteps writes the shoes of a plan into blocks by the steps of its workout that the laps
// name, and reports whether it did: every block must be the step of a planned block of about
// its length, later than the block before. Another workout than the plan's thus tells nothing.
func (in *Import) assignShoesBySteps(p *trial.PlanFacts, blocks []trial.Block) bool {
	shoes, last := map[int]string{}, -1
	for i := range blocks {
		b := &blocks[i]
		if b.Excluded {
			continue
		}
		planned := in.plannedBlock(p, b)
		if planned <= last || math.Abs(b.Duration()-p.BlockS) > float64(stepShare*p.BlockS) {
			return false
		}
		shoes[i], last = p.Order[planned], planned
	}
	for i, shoe := range shoes {
		blocks[i].Shoe = shoe
	}
	if len(shoes) > 0 {
		in.remark("%d of the %d planned blocks were run, by the steps of the workout; check their shoes", len(shoes),
			len(p.Order))
	}
	return len(shoes) > 0
}

// plannedBlock is the number of the planned block, from 0, whose step the lap in the middle of
// a block is; -1 where it is none.
func (in *Import) plannedBlock(p *trial.PlanFacts, b *trial.Block) int {
	middle := (b.Start + b.End) / 2
	for _, lap := range in.Evidence.Laps {
		if lap.Step == 0 || middle < lap.StartS || middle >= lap.EndS {
			continue
		}
		for i := range p.Order {
			if workoutStep(p, i) == lap.Step-1 {
				return i
			}
		}
	}
	return -1
}
