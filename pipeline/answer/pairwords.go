package answer

import "soletrial/pipeline/trial"

// PairSentence says one pair, the better shoe first: "Fennock is very likely faster than
// Quenby (94 %): by 0.9 %, about 46 seconds over a half marathon."
func (s Speaker) PairSentence(e *Effort, p *Pair) string {
	better, size := "faster than ", "by "+Size(p.D.Mean)
	if e.Outcome == trial.Heart {
		better = "easier at the same pace than "
		size = "heart rate is " + Size(p.D.Mean) + " lower"
	} else if s.Race != nil {
		size += ", about " + Seconds(s.RaceTime(e, p, *s.Race).Mid) + " over " + RaceName(s.Race.DistanceM)
	}
	return s.Label(p.Shoe) + " is " + LikelyToBe(p.D.Above, better+s.Label(p.Reference)) + " (" +
		Chance(p.D.Above) + "): " + size + "."
}
