package answer

import (
	"math"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/units"
)

// Stronger says what would make the evidence of a pair stronger.
func (s Speaker) Stronger(p *Pair) (advice []string) {
	for _, lack := range p.Lacks {
		advice = append(advice, s.advice(p, lack))
	}
	return advice
}

// advice is one thing to do.
func (s Speaker) advice(p *Pair, lack decide.Lack) string {
	more := int(math.Ceil(lack.Want - lack.Have))
	// The design first, then the sensors, then more of the same.
	switch lack.Need {
	case decide.NeedRepeat:
		return "run each shoe twice in a session, or run a second session"
	case decide.NeedSessions:
		return "run " + units.Count(more, "more session") + " with both shoes"
	case decide.NeedBlocks:
		fewer := p.Shoe
		if p.testing.Blocks[1] < p.testing.Blocks[0] {
			fewer = p.Reference
		}
		return "run " + units.Count(more, "more block") + " in " + s.Label(fewer)
	case decide.NeedOrders:
		return "in " + units.Count(int(lack.Have), "session") + " the order of the shoes follows the clock, " +
			"so tiredness could pass for a shoe effect: run that order in reverse"
	case decide.NeedHeart:
		return "heart rate does not rule out that one shoe was run harder: add a session at the same pace or heart rate"
	case decide.NeedPlans:
		return "plan the order before the run and follow it (so far in " +
			units.FormatDecimal(float64(100*lack.Have), 0) + " % of the sessions)"
	case decide.NeedGround:
		return "count the laps of every block, so that the sensor can be checked in both shoes"
	case decide.NeedRobust:
		return "other choices in the analysis give another leader: run more sessions"
	}
	return "the interval is ±" + Size(lack.Have) + ", ±" + Size(lack.Want) + " would do: run more sessions"
}
