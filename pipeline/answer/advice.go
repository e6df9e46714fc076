package answer

import (
	"math"
	"strconv"

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

// moreBlocks says how many blocks either shoe of a pair lacks of those wanted.
func (s Speaker) moreBlocks(p *Pair, want int) string {
	shoe, reference := want-p.testing.Blocks[0], want-p.testing.Blocks[1]
	switch {
	case shoe <= 0:
		return "run " + units.Count(reference, "more block") + " in " + s.Label(p.Reference)
	case reference <= 0:
		return "run " + units.Count(shoe, "more block") + " in " + s.Label(p.Shoe)
	}
	return "run " + units.Count(shoe, "more block") + " in " + s.Label(p.Shoe) + " and " +
		strconv.Itoa(reference) + " in " + s.Label(p.Reference)
}

// advice is one thing to do.
func (s Speaker) advice(p *Pair, lack decide.Lack) string {
	// The design first, then the sensors, then more of the same.
	switch lack.Need {
	case decide.NeedRepeat:
		return "run each shoe twice in a session, or run a second session"
	case decide.NeedSessions:
		return "run " + units.Count(int(math.Ceil(lack.Want-lack.Have)), "more session") + " with both shoes"
	case decide.NeedBlocks:
		return s.moreBlocks(p, int(lack.Want))
	case decide.NeedOrders:
		return "in " + units.Count(int(lack.Have), "session") + " the shoes were not spread evenly, " +
			"so tiredness could pass for a shoe effect: run that order in reverse"
	case decide.NeedHeart:
		return "heart rate does not rule out that one shoe was run harder: add a session at the same pace or heart rate"
	case decide.NeedPlans:
		return "plan the order before the run and follow it (done in " +
			units.FormatDecimal(float64(100*lack.Have), 0) + " % of the sessions)"
	case decide.NeedGround:
		return "count the laps of every block, so that the sensor can be checked in both shoes"
	case decide.NeedRobust:
		return "run more sessions: other choices in the analysis give another leader"
	}
	return "run more sessions to narrow the interval from ±" + Size(lack.Have) + " to ±" + Size(lack.Want)
}
