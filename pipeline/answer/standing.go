package answer

import (
	"strings"

	"soletrial/pipeline/english"
	"soletrial/pipeline/forecast"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Standing is one line of a ranking for people: the chance that a shoe is the best, and by
// how much the leader is ahead of it. It has the numbers of the sentences.
type Standing struct {
	Shoe, Label string
	Best        float64
	// Behind compares the leader with this shoe; nil for the leader itself.
	Behind *Pair
	// Time is what that is worth over the speaker's race; missing without a race, for the
	// leader, and where heart rate is compared.
	Time RaceTime
}

// Chance writes the chance that the shoe is the best: "93 %".
func (l *Standing) Chance() string { return Chance(l.Best) }

// Percent writes by how much the leader is ahead, with its interval; "" for the leader.
func (l *Standing) Percent() string {
	if l.Behind == nil {
		return ""
	}
	return Interval(l.Behind.D)
}

// Clock writes by how much time the leader is ahead, with its interval:
// "+0:46 (-0:11 to +1:44)"; "" where there is none.
func (l *Standing) Clock() string {
	if !units.Known(l.Time.Mid) {
		return ""
	}
	return l.Time.Clock()
}

// Clock writes a span of race time with its interval: "+0:46 (-0:11 to +1:44)".
func (r RaceTime) Clock() string {
	return SignedClock(r.Mid) + " (" + SignedClock(r.Low) + " to " + SignedClock(r.High) + ")"
}

// SignedClock writes a span of time with its sign: "+0:46"; what rounds to nothing has none.
func SignedClock(seconds float64) string {
	switch text := units.FormatClock(seconds); {
	case seconds >= 0.5:
		return "+" + text
	case seconds > -0.5:
		return units.FormatClock(0)
	default:
		return text
	}
}

// Standings ranks the shoes of a group, the best by estimate first.
func (s Speaker) Standings(e *Effort, g *Group) []Standing {
	lines := make([]Standing, len(g.Places))
	nothing := RaceTime{units.Missing, units.Missing, units.Missing, units.Missing, units.Missing}
	for i := range g.Places {
		p := &g.Places[i]
		lines[i] = Standing{Shoe: p.Shoe, Label: s.Label(p.Shoe), Best: p.Best, Time: nothing}
		if i == 0 {
			continue
		}
		lines[i].Behind = p.Pair
		if s.Race != nil && e.Outcome == trial.Speed {
			lines[i].Time = s.RaceTime(e, p.Pair, *s.Race)
		}
	}
	return lines
}

// RaceName names the speaker's race: "a half marathon"; "" without one.
func (s Speaker) RaceName() string {
	if s.Race == nil {
		return ""
	}
	return RaceName(s.Race.DistanceM)
}

// RaceLabel names the speaker's race with its time as the heading of a column: "half
// marathon, 1:32:00"; "" without one.
func (s Speaker) RaceLabel() string {
	if s.Race == nil {
		return ""
	}
	return strings.TrimPrefix(s.RaceName(), "a ") + ", " + units.FormatClock(s.Race.TimeS)
}

// RaceText names the speaker's race with its time: "a half marathon in 1:32:00"; "" without one.
func (s Speaker) RaceText() string {
	if s.Race == nil {
		return ""
	}
	return RaceName(s.Race.DistanceM) + " in " + units.FormatClock(s.Race.TimeS)
}

// Basis says what an answer rests on: "1 runner, 5 sessions at the same power, 31 blocks, 7
// March to 25 April 2026". Where the days are not known it leaves them out.
func (s Speaker) Basis(e *Effort) string {
	text := units.Count(e.Runners, "runner") + ", " + units.Count(e.Sessions, "session") + " at " +
		e.Effort.Same() + ", " + units.Count(e.Blocks, "block")
	if e.First == "" {
		return text
	}
	return text + ", " + english.Dates(e.First, e.Last)
}

// DefaultRace is the longest race that a dataset names, nil for none.
func DefaultRace(method trial.Method) *forecast.Race {
	var longest *forecast.Race
	for _, race := range method.Races {
		seconds, err := units.ParseDuration(race.Time)
		if err == nil && (longest == nil || race.DistanceM > longest.DistanceM) {
			longest = &forecast.Race{DistanceM: race.DistanceM, TimeS: seconds}
		}
	}
	return longest
}
