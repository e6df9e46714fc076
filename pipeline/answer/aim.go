package answer

import (
	"strconv"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Stopping says of the answer of a group whether what a plan decided about stopping was kept,
// and whether it was.
func (e *Effort) Stopping(ds *trial.Dataset, g *Group) (sentence string, kept bool) {
	aim, _ := firstAim(ds, e.Effort)
	return aimKept(aim, e.Sessions, decide.Percent(g.Lead.D.High)-decide.Percent(g.Lead.D.Low))
}

// firstAim returns the aim that the first plan with one decided for an effort, and the id of its
// session; "" where none did. Sessions are in order of their dates.
func firstAim(ds *trial.Dataset, effort trial.Effort) (trial.PlanAim, string) {
	for i := range ds.Sessions {
		s := &ds.Sessions[i]
		if s.Plan != nil && s.Plan.Effort == string(effort) && hasAim(s.Plan.Aim) {
			return s.Plan.Aim, s.ID
		}
	}
	return trial.PlanAim{WidthPct: units.Missing, Sessions: units.Missing}, ""
}

func hasAim(aim trial.PlanAim) bool { return aim.Sessions > 0 || aim.WidthPct > 0 }

// aimKept says whether an aim was kept, in a sentence, and whether it was: what was planned is
// reached and nothing was run after it. widthPct is the whole width of the 95 % interval between
// the leading shoe and the second, percent; missing where there is none. Without an aim it says
// that nothing was decided, and how often the answer may have been looked at.
func aimKept(aim trial.PlanAim, sessions int, widthPct float64) (sentence string, kept bool) {
	switch {
	// A number of sessions: not yet, kept, or passed.
	case aim.Sessions > 0:
		want := int(aim.Sessions)
		switch {
		case sessions < want:
			return "Planned in advance: " + units.Count(want, "session") + "; so far " + strconv.Itoa(sessions) +
				". The answer is not final.", false
		case sessions == want:
			return "Planned in advance: " + units.Count(want, "session") + ", and the plan was kept.", true
		}
		return "Planned in advance: " + units.Count(want, "session") + "; " + units.Count(sessions-want,
			"more session") + " followed, so the plan was not kept.", false
	// A width of the interval: reached or not.
	case aim.WidthPct > 0:
		width := units.FormatDecimal(aim.WidthPct, 1) + " %"
		if widthPct <= aim.WidthPct {
			return "Planned in advance: to stop at an interval " + width + " wide, which is reached.", true
		}
		now := ""
		if units.Known(widthPct) {
			now = "; now it is " + units.FormatDecimal(widthPct, 1) + " % wide"
		}
		return "Planned in advance: to stop at an interval " + width + " wide" + now +
			". The answer is not final.", false
	}
	return "No end was planned in advance: " + units.Count(sessions, "session") +
		" so far, and somebody may have looked at the answer after each.", false
}
