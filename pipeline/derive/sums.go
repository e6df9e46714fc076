package derive

import (
	"math"
	"slices"

	"soletrial/pipeline/parallel"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/sums"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Sums returns all blocks of a result with their means over steps of five seconds. Recordings
// reads the samples of a session, in several goroutines where there are workers; one that cannot
// be read has no steps.
func Sums(r *Result, recordings func(*trial.Session) ([]trial.Recording, []trial.Problem), workers int) []sums.Block {
	return slices.Concat(parallel.Map(workers, len(r.Sessions), func(i int) []sums.Block {
		s, session := &r.Sessions[i], &r.Dataset.Sessions[i]
		// All blocks as the answer sees those that are included.
		opened := SessionResult{ID: s.ID, Speed: s.Speed, Power: s.Power}
		for _, b := range s.Blocks {
			b.Included, b.OtherWindows = true, nil
			opened.Blocks = append(opened.Blocks, b)
		}
		only := *r.Dataset
		only.Sessions = []trial.Session{*session}
		blocks := make([]sums.Block, len(s.Blocks))
		for j, b := range answerBlocks(&only, []SessionResult{opened}) {
			blocks[j] = sums.Block{Block: b, Included: s.Blocks[j].Included, Start: s.Blocks[j].Start,
				End: s.Blocks[j].End, Published: r.Dataset.Facts.Method.Trim}
		}
		// The steps of those that were recorded.
		if recordings != nil {
			if read, problems := recordings(session); len(problems) == 0 && len(read) > 0 {
				addSteps(blocks, &only, session, steady.Prepare(&only, read))
			}
		}
		return blocks
	})...)
}

// addSteps fills in the steps of a session's blocks: each step is summarised as a block of its
// own, of which nothing is trimmed.
func addSteps(blocks []sums.Block, ds *trial.Dataset, session *trial.Session, tracks *steady.Tracks) {
	uncut := *ds
	uncut.Facts.Method.Trim = trial.Trim{}
	for i := range blocks {
		b := &blocks[i]
		if !(b.End > b.Start) {
			continue
		}
		steps := *session
		steps.Blocks = make([]trial.Block, int(math.Ceil((b.End-b.Start)/sums.StepS)))
		for k := range steps.Blocks {
			step := session.Blocks[i]
			step.Start = b.Start + float64(k*sums.StepS)
			step.End = math.Min(step.Start+sums.StepS, b.End)
			// What was measured by hand holds for the whole block.
			step.DistanceM, step.Laps = units.Missing, units.Missing
			for m := range step.Measured {
				step.Measured[m] = units.Missing
			}
			steps.Blocks[k] = step
		}
		summaries := tracks.Session(&uncut, &steps)
		outcomes := [sums.ChannelCount]trial.Outcome{trial.Speed, trial.Heart, trial.MeanPower}
		for channel, outcome := range outcomes {
			if channel == sums.Power && b.Effort != trial.Power {
				continue
			}
			values, any := make([]float64, len(summaries)), false
			for k := range summaries {
				values[k] = summaries[k].Outcomes[outcome]
				any = any || units.Known(values[k])
			}
			if any {
				b.Steps[channel] = values
			}
		}
	}
}
