package quality

import "soletrial/pipeline/trial"

// The slugs of the rules about the answer, in their documented order.
const (
	HeartByShoe     trial.RuleSlug = "heart-by-shoe"
	OneBlockDecides trial.RuleSlug = "one-block-decides"
)

// answerWords are the words of the rules about the answer. They are checked where the answers
// are: package answer.
var answerWords = []Rule{
	{
		Slug:  HeartByShoe,
		Title: "heart rate higher in the faster shoe", Brief: "a faster shoe in which the heart worked harder",
		Severities: []trial.Severity{trial.Warn},
		Measures: "the chance that heart rate at the same power is higher in the shoe that is faster there, by the " +
			"decision model of heart rate",
		Limit: "97.5 %",
		Source: "a power meter that reads low in one shoe makes the runner work harder and run faster in it. Heart " +
			"rate shows that (engineering choice: the chance that every claim needs)",
		Fix: "test at the same pace or heart rate as well, and check the power meter in both shoes; the evidence " +
			"stays lower until then",
		Hint: "the shoe may have been run harder: test at the same pace or heart rate as well",
	},
	{
		Slug:  OneBlockDecides,
		Title: "one block decides", Brief: "an answer that depends on one block",
		Severities: []trial.Severity{trial.Warn},
		Measures:   "the answer with each block left out in turn, or each session where there are more than 60 blocks",
		Limit:      "the same answer without any one of them",
		Source:     "an answer should not depend on a single block (leave-one-out; engineering choice)",
		Fix: "look at that block's trace and notes, and exclude it only for a reason that has nothing to do with the " +
			"answer; run another session",
		Hint: "look at its trace; run another session before you rely on the answer",
	},
}
