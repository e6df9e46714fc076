package decide

import (
	"slices"

	"soletrial/pipeline/trial"
)

// EffortAnswer is the answer of one effort, for the choice of the headline.
type EffortAnswer struct {
	Effort   trial.Effort
	Sessions int
	Status   Status
	// Leading are the labels of the leading shoes, the likeliest first.
	Leading []string
}

// Headline returns the index of the answer that speaks for the dataset, and of those that
// disagree with it: the effort that was chosen, else the one with most sessions, and among
// those power before pace before heart rate. It returns -1 for no answers.
//
// Two answers disagree when none of the leading shoes of one is among those of the other.
func Headline(answers []EffortAnswer, chosen trial.Effort) (headline int, disagree []int) {
	headline = -1
	for i, a := range answers {
		if headline < 0 || a.before(answers[headline], chosen) {
			headline = i
		}
	}
	for i, a := range answers {
		if i != headline && !a.agrees(answers[headline]) {
			disagree = append(disagree, i)
		}
	}
	return headline, disagree
}

func (a EffortAnswer) before(b EffortAnswer, chosen trial.Effort) bool {
	if (a.Effort == chosen) != (b.Effort == chosen) {
		return a.Effort == chosen
	}
	if a.Sessions != b.Sessions {
		return a.Sessions > b.Sessions
	}
	return slices.Index(trial.Efforts, a.Effort) < slices.Index(trial.Efforts, b.Effort)
}

func (a EffortAnswer) agrees(b EffortAnswer) bool {
	return slices.ContainsFunc(a.Leading, func(s string) bool { return slices.Contains(b.Leading, s) })
}
