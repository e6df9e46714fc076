package derive

import (
	"soletrial/pipeline/answer"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/trial"
)

// decide fills in the answers with the analyses and the progress behind them, and returns
// the findings about them. Step is called now and then with one worker.
func (r *Result) decide(workers int, step func()) []trial.Finding {
	in := r.answerInputs(decide.Exact)
	if workers < 2 {
		in.Step = func(int, int) { step() }
	}
	r.Answers = answer.Decide(in)
	r.Answers.Robustness(in, workers)
	r.Answers.DayToCome(workers)
	for i := range r.Answers.Efforts {
		e := &r.Answers.Efforts[i]
		r.Progress = append(r.Progress, Progress{e.Effort, e.Progress(in, workers)})
	}
	return r.Answers.Findings(r.Dataset)
}

func (r *Result) answerInputs(accuracy decide.Accuracy) answer.Inputs {
	return answer.Inputs{
		Dataset: r.Dataset, Blocks: answerBlocks(r.Dataset, r.Sessions), Findings: r.Findings, Checks: r.Sensor,
		Accuracy: accuracy, WithoutAssumptions: leadersWithoutAssumptions(&r.Compare),
	}
}

// leadersWithoutAssumptions are the first two shoes of the rankings, one for each effort:
// that of the level with the most blocks.
func leadersWithoutAssumptions(r *compare.Result) (leaders []answer.Compared) {
	seen := map[string]bool{}
	for _, ranking := range r.Rankings {
		if seen[string(ranking.Effort)] || len(ranking.Places) < 2 {
			continue
		}
		seen[string(ranking.Effort)] = true
		first, second := ranking.Places[0].Shoe, ranking.Places[1].Shoe
		c := r.Find(ranking.Outcome, ranking.Level, first, second)
		if c == nil {
			continue
		}
		if c.Shoe != first {
			reversed := c.Reverse()
			c = &reversed
		}
		leaders = append(leaders, answer.Compared{Effort: ranking.Effort, Shoe: first, Reference: second,
			Estimate: c.Estimate, Low: c.Low, High: c.High})
	}
	return leaders
}
