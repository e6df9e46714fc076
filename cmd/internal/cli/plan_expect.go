package cli

import (
	"soletrial/pipeline/answer"
	"soletrial/pipeline/plan"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// tooWidePct is the half of an interval beyond which no answer can be hoped for: racing shoes
// rarely differ by more at one effort (published differences in energy cost reach about 4 %;
// from memory, common practice).
const tooWidePct = 4

// expectation is what the session planned can be expected to show, with those so far.
type expectation struct {
	known        bool
	outlook      plan.Outlook
	halfWidthPct float64 // missing where nothing is known
	sessions     int     // so far, at this effort
}

// expect looks ahead to the session with everything that the dataset holds. A plan is no
// worse where the dataset cannot be derived yet: then nothing is known.
func (a *app) expect(o planOptions, facts *trial.PlanFacts) expectation {
	out := expectation{halfWidthPct: units.Missing}
	_, result, err := a.derived()
	if err != nil {
		return out
	}
	adv := advice{effort: trial.Effort(o.effort), outcome: trial.PrimaryFor(trial.Effort(o.effort)), shoes: facts.Shoes}
	e := result.Answers.Find(adv.effort)
	var g *answer.Group
	if e != nil {
		g = e.Main()
	}
	if g != nil {
		adv.outcome, out.sessions = e.Outcome, e.Sessions
	}
	adv.outlook = plan.Outlook{Shoes: facts.Shoes, Orders: [][]string{facts.Order},
		SpacingH: (facts.BlockS + facts.RestS) / 3600, Seed: 1}
	if len(facts.Order) == 0 || adv.assume(result.Dataset, o, e, g) != nil || len(adv.outlook.Blocks) > maxBlocks {
		return out
	}
	width, err := adv.outlook.HalfWidth()
	return expectation{err == nil, adv.outlook, width, out.sessions}
}

// lines says it in sentences.
func (x expectation) lines() []string {
	if !x.known {
		return nil
	}
	with := " alone"
	if x.sessions > 0 {
		with = ", with the " + units.Count(x.sessions, "session") + " so far"
	}
	lines := []string{"after this session" + with + ", expect to know a difference between two shoes to about ±" +
		units.FormatDecimal(x.halfWidthPct, 1) + " %; the smallest that matters is " +
		units.FormatDecimal(100*x.outlook.Settings.Worthwhile, 2) + " %"}
	if x.halfWidthPct > tooWidePct {
		lines = append(lines, "warning: an answer is unlikely: shoes rarely differ by so much; plan more blocks, "+
			"or more sessions (`soletrial plan --advise`)")
	}
	return lines
}
