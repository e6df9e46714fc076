package main

import (
	"fmt"
	"testing/fstest"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/plan"
	"soletrial/pipeline/randomise"
	"soletrial/pipeline/trial"
)

// addPlan draws the order of a planned outing from what stands in the files so far,
// as the command plan does, and writes plan.yaml. The outing is run in that order
// unless the story has it run in another.
func addPlan(files map[string][]byte, o *outing) error {
	if o.plan == nil {
		return nil
	}

	// A plan may depend on the sessions before it, so the files so far are read back.
	fsys := fstest.MapFS{}
	for path, text := range files {
		fsys[path] = &fstest.MapFile{Data: text}
	}
	folder, problems := plaintext.Read(fsys, yamltext.Read)
	if len(problems) > 0 {
		return fmt.Errorf("what stands before %s cannot be read: %v", o.id, problems)
	}

	// Make the plan; its order is run unless the story has another.
	facts, _, err := plan.New(&folder.Dataset, plan.Request{
		Session: o.id, Runner: runner, Shoes: o.plan.shoes, Blocks: o.plan.blocks, Effort: o.effort,
		Target: trial.FormatTarget(o.effort, o.target),
		Start:  o.plan.start, BlockS: o.blockS, RestS: o.restS, WarmUpS: plannedWarmUp, Seed: o.plan.seed,
		Rule: randomise.VarianceFirst, // the plans of the story are earlier than the present rule
	})
	if err != nil {
		return err
	}
	files["sessions/"+o.id+"/plan.yaml"] = plaintext.AppendPlan(nil, facts)
	if o.order == nil {
		o.order = facts.Order
	}
	return nil
}
