package plan

import (
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Progress is how far a trial at an effort has come.
type Progress struct {
	Sessions int
	// WidthPct is the whole width of the 95 % interval between the leading shoe and the second,
	// percent; missing where there is none.
	WidthPct float64
}

// AimOf returns the aim that the first plan with one settled for an effort, and the id of its
// session; "" where none did. Sessions are in order of their dates.
func AimOf(ds *trial.Dataset, effort trial.Effort) (trial.PlanAim, string) {
	for i := range ds.Sessions {
		s := &ds.Sessions[i]
		if s.Plan != nil && s.Plan.Effort == string(effort) && hasAim(s.Plan.Aim) {
			return s.Plan.Aim, s.ID
		}
	}
	return trial.PlanAim{WidthPct: units.Missing, Sessions: units.Missing}, ""
}

func hasAim(aim trial.PlanAim) bool { return aim.Sessions > 0 || aim.WidthPct > 0 }

// Kept says whether an aim was kept so far, in a sentence, and whether it was reached. Without
// an aim it says that nothing was settled, and how often the answer may have been looked at.
func Kept(aim trial.PlanAim, p Progress) (sentence string, reached bool) {
	switch {
	case aim.Sessions > 0:
		want := int(aim.Sessions)
		switch {
		case p.Sessions < want:
			return "Planned in advance: " + units.Count(want, "session") + "; so far " + number(p.Sessions) +
				". The answer is not final.", false
		case p.Sessions == want:
			return "Planned in advance: " + units.Count(want, "session") + ", and the plan was kept.", true
		}
		return "Planned in advance: " + units.Count(want, "session") + "; " + units.Count(p.Sessions-want,
			"more session") + " followed, so the plan was not kept.", true
	case aim.WidthPct > 0:
		width := units.FormatDecimal(aim.WidthPct, 1) + " %"
		if p.WidthPct <= aim.WidthPct {
			return "Planned in advance: to stop at an interval " + width + " wide, which is reached.", true
		}
		now := ""
		if units.Known(p.WidthPct) {
			now = "; now it is " + units.FormatDecimal(p.WidthPct, 1) + " % wide"
		}
		return "Planned in advance: to stop at an interval " + width + " wide" + now +
			". The answer is not final.", false
	}
	return "When to stop was not settled in advance: " + units.Count(p.Sessions, "session") +
		" so far, and the answer may have been looked at after each.", false
}

func number(n int) string { return units.FormatDecimal(float64(n), 0) }

// StopByPrecision says when to stop, and why not otherwise.
const StopByPrecision = "Stop when the interval is narrow enough to decide by, whichever way it points, and say " +
	"before you start how narrow that is. " +
	"Do not stop because a p value has come out small: looked at after every session, one falls below 5 % by chance " +
	"far more often than one time in twenty, " +
	"and a difference found that way is too large on average."
