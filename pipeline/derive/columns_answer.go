package derive

import (
	"iter"
	"strings"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/units"
)

// decisionRow is a row of decisions.csv.
type decisionRow struct {
	effort *answer.Effort
	group  *answer.Group
	*answer.Pair
}

func decisionRows(a *answer.Answers) iter.Seq[*decisionRow] {
	return func(yield func(*decisionRow) bool) {
		for i := range a.Efforts {
			e := &a.Efforts[i]
			for g := range e.Groups {
				for p := range e.Groups[g].Pairs {
					if !yield(&decisionRow{e, &e.Groups[g], &e.Groups[g].Pairs[p]}) {
						return
					}
				}
			}
		}
	}
}

// note says what a reader of the row must know besides.
func (r *decisionRow) note() string {
	var notes []string
	if r.effort.Settings.SmallerIsBetter {
		notes = append(notes, "the estimate is how much lower heart rate was")
		low, median, high, ok := r.effort.Posterior.InSpeed(r.Pair.Pair.Shoe, r.Pair.Pair.Reference, r.effort.Sensor,
			r.D)
		if ok {
			notes = append(notes, "converted to speed: "+
				answer.Interval(decide.Difference{Mean: median, Low: low, High: high}))
		}
	}
	if r.HeartCheck.Higher {
		notes = append(notes, "heart rate was higher in the faster shoe")
	}
	return strings.Join(notes, "; ")
}

var decisionColumns = []column[*decisionRow]{
	text("effort", "What was held", func(r *decisionRow) string { return string(r.effort.Effort) }).required(),
	text("outcome", "What is compared", func(r *decisionRow) string { return r.effort.Outcome.Info().ID }).required(),
	text("shoe", "Id from shoes.csv of the better shoe by estimate",
		func(r *decisionRow) string { return r.Pair.Shoe }).required(),
	text("reference", "Id from shoes.csv of the other", func(r *decisionRow) string { return r.Reference }).required(),
	count("runners", "Runners with a block in either shoe", func(r *decisionRow) int { return r.Runners }).required(),
	count("sessions", "Sessions with a block in either shoe",
		func(r *decisionRow) int { return r.Sessions }).required(),
	count("blocks", "Blocks in either shoe", func(r *decisionRow) int { return r.Blocks }).required(),
	count("group", "Number of the group of shoes that sessions link",
		func(r *decisionRow) int { return r.group.Number }).required(),
	number("estimate", "%", "Difference in favour of the shoe: faster, or a lower heart rate", 4,
		func(r *decisionRow) float64 { return decide.Percent(r.D.Mean) }).required(),
	number("low", "%", "Lower end of its 95 % interval", 4,
		func(r *decisionRow) float64 { return decide.Percent(r.D.Low) }).required(),
	number("high", "%", "Upper end of its 95 % interval", 4,
		func(r *decisionRow) float64 { return decide.Percent(r.D.High) }).required(),
	number("chance_better", "probability", "Chance that the shoe is the better one", 4,
		func(r *decisionRow) float64 { return r.D.Above }).required().within("0", "1"),
	number("chance_worthwhile", "probability", "Chance that it is better by more than the worthwhile difference", 4,
		func(r *decisionRow) float64 { return r.D.AboveWorthwhile }).required().within("0", "1"),
	number("chance_same", "probability", "Chance that they differ by less than the worthwhile difference", 4,
		func(r *decisionRow) float64 { return r.D.Within }).required().within("0", "1"),
	number("apart_at_most", "%", "They are no more than this apart, with a chance of 90 %", 4,
		func(r *decisionRow) float64 { return decide.Percent(r.D.ApartAtMost) }).required().within("0", ""),
	number("next_low", "%", "Lower end of the 95 % interval on a day to come, and for a new runner where there are "+
		"several",
		4, func(r *decisionRow) float64 { return decide.Percent(r.NextLow) }).required(),
	number("next_high", "%", "Upper end of it", 4,
		func(r *decisionRow) float64 { return decide.Percent(r.NextHigh) }).required(),
	number("sensor_correction", "%", "By how much distances measured on the ground changed the estimate", 4,
		func(r *decisionRow) float64 { return decide.Percent(r.Correction) }).required(),
	number("sensor_tipping", "%", "Error of the speed in one shoe alone that would make the whole difference", 4,
		func(r *decisionRow) float64 { return decide.Percent(r.Tipping) }).required().within("0", ""),
	text("note", "Anything else about the row", (*decisionRow).note),
}

// rankingRow is a row of ranking.csv.
type rankingRow struct {
	effort *answer.Effort
	group  *answer.Group
	place  int
	*answer.Place
	why string
}

func rankingRows(r *Result) iter.Seq[*rankingRow] {
	speaker := answer.NewSpeaker(r.Dataset, r.Answers)
	return func(yield func(*rankingRow) bool) {
		for i := range r.Answers.Efforts {
			e := &r.Answers.Efforts[i]
			for g := range e.Groups {
				for p := range e.Groups[g].Places {
					place := &e.Groups[g].Places[p]
					why := strings.Join(speaker.Stronger(place.Pair), "; ")
					if !yield(&rankingRow{e, &e.Groups[g], p + 1, place, why}) {
						return
					}
				}
			}
		}
	}
}

// against is a number of the difference from the reference shoe, missing for itself.
func (r *rankingRow) against(of func(decide.Difference) float64) float64 {
	if r.Reference {
		return units.Missing
	}
	return decide.Percent(of(r.Against))
}

var rankingColumns = []column[*rankingRow]{
	text("effort", "What was held", func(r *rankingRow) string { return string(r.effort.Effort) }).required(),
	text("outcome", "What is compared", func(r *rankingRow) string { return r.effort.Outcome.Info().ID }).required(),
	count("group", "Number of the group of shoes that sessions link",
		func(r *rankingRow) int { return r.group.Number }).required(),
	text("status", "The answer of the group", func(r *rankingRow) string { return string(r.group.Status) }).
		required().oneOf(string(decide.Same),
		string(decide.Fastest), string(decide.Leading), string(decide.Open), string(decide.Blocked)),
	count("place", "Place by estimate, 1 for the best", func(r *rankingRow) int { return r.place }).required().
		within("1", ""),
	text("shoe", "Id from shoes.csv", func(r *rankingRow) string { return r.Shoe }).required(),
	number("chance_best", "probability", "Chance that the shoe is the best of the group", 4,
		func(r *rankingRow) float64 { return r.Best }).required().within("0", "1"),
	number("estimate", "%", "Difference from the group's reference shoe, in the shoe's favour; blank for itself", 4,
		func(r *rankingRow) float64 { return r.against(func(d decide.Difference) float64 { return d.Mean }) }),
	number("low", "%", "Lower end of its 95 % interval", 4,
		func(r *rankingRow) float64 { return r.against(func(d decide.Difference) float64 { return d.Low }) }),
	number("high", "%", "Upper end of it", 4,
		func(r *rankingRow) float64 { return r.against(func(d decide.Difference) float64 { return d.High }) }),
	text("evidence", "How well the shoe was tested against the leader, the leader against the second",
		func(r *rankingRow) string { return string(r.Pair.Evidence) }).required().
		oneOf(string(decide.NoEvidence), string(decide.Thin), string(decide.Fair), string(decide.Solid)),
	text("why", "What would make the evidence stronger", func(r *rankingRow) string { return r.why }),
}

// progressRow is a row of progress.csv.
type progressRow struct {
	progress *Progress
	point    *answer.Point
	*answer.Place
}

func progressRows(all []Progress) iter.Seq[*progressRow] {
	return func(yield func(*progressRow) bool) {
		for i := range all {
			for p := range all[i].Points {
				point := &all[i].Points[p]
				for k := range point.Places {
					if !yield(&progressRow{&all[i], point, &point.Places[k]}) {
						return
					}
				}
			}
		}
	}
}

func (r *progressRow) against(of func(decide.Difference) float64) float64 {
	return (&rankingRow{Place: r.Place}).against(of)
}

var progressColumns = []column[*progressRow]{
	text("effort", "What was held", func(r *progressRow) string { return string(r.progress.Effort) }).required(),
	date("date", "Date of the session", func(r *progressRow) string { return r.point.Date }).required(),
	text("session", "The last session included", func(r *progressRow) string { return r.point.Session }).required(),
	text("shoe", "Id from shoes.csv", func(r *progressRow) string { return r.Shoe }).required(),
	number("chance_best", "probability", "Chance that the shoe is the best, by the sessions so far", 4,
		func(r *progressRow) float64 { return r.Best }).required().within("0", "1"),
	number("estimate", "%", "Difference from the reference shoe, in the shoe's favour; blank for itself", 4,
		func(r *progressRow) float64 { return r.against(func(d decide.Difference) float64 { return d.Mean }) }),
	number("low", "%", "Lower end of its 95 % interval", 4,
		func(r *progressRow) float64 { return r.against(func(d decide.Difference) float64 { return d.Low }) }),
	number("high", "%", "Upper end of it", 4,
		func(r *progressRow) float64 { return r.against(func(d decide.Difference) float64 { return d.High }) }),
}

// analysisRow is a row of analyses.csv.
type analysisRow struct {
	effort                           *answer.Effort
	analysis                         string
	window, drift, exponent, leftOut string
	status, shoe                     string
	estimate, low, high              float64
}

func analysisRows(a *answer.Answers) iter.Seq[*analysisRow] {
	return func(yield func(*analysisRow) bool) {
		for i := range a.Efforts {
			e := &a.Efforts[i]
			for g := range e.Groups {
				for k := range e.Groups[g].Analyses {
					if !yield(newAnalysisRow(e, &e.Groups[g].Analyses[k])) {
						return
					}
				}
				if c := e.Groups[g].WithoutAssumptions; c != nil && !yield(&analysisRow{effort: e,
					analysis: "without assumptions", shoe: c.Shoe, estimate: c.Estimate, low: c.Low, high: c.High}) {
					return
				}
			}
		}
	}
}

func newAnalysisRow(e *answer.Effort, a *decide.Analysis) *analysisRow {
	v := a.Variant
	row := &analysisRow{
		effort: e, analysis: "choices", window: string(v.Window), drift: decide.DriftNames[v.Drift],
		exponent: string(v.Exponent), status: string(a.Status), shoe: a.Leader,
		estimate: decide.Percent(a.Lead.Mean), low: decide.Percent(a.Lead.Low), high: decide.Percent(a.Lead.High),
	}
	switch {
	case v.LeftOutBlock != "":
		row.analysis, row.leftOut = "one block left out", v.LeftOutSession+" "+v.LeftOutBlock
	case v.LeftOutSession != "":
		row.analysis, row.leftOut = "one session left out", v.LeftOutSession
	case v.Shared == decide.SharedWholly:
		row.analysis = "power has the sensor's error"
	case v.Shared == decide.SharedNot:
		row.analysis = "power has no error"
	}
	return row
}

var analysisColumns = []column[*analysisRow]{
	text("effort", "What was held", func(r *analysisRow) string { return string(r.effort.Effort) }).required(),
	text("analysis", "What the row is: other choices, something left out, the sensor, or no assumptions",
		func(r *analysisRow) string { return r.analysis }).required(),
	text("window", "How the steady windows are cut", func(r *analysisRow) string { return r.window }),
	text("drift", "What drift is removed", func(r *analysisRow) string { return r.drift }),
	text("exponent", "How the correction to equal effort is made", func(r *analysisRow) string { return r.exponent }),
	text("left_out", "Session, or session and block, left out", func(r *analysisRow) string { return r.leftOut }),
	text("status", "The answer; blank without assumptions",
		func(r *analysisRow) string { return r.status }),
	text("shoe", "Id from shoes.csv of the leader", func(r *analysisRow) string { return r.shoe }).required(),
	number("estimate", "%", "The leader against the second", 4,
		func(r *analysisRow) float64 { return r.estimate }).required(),
	number("low", "%", "Lower end of its 95 % interval", 4, func(r *analysisRow) float64 { return r.low }),
	number("high", "%", "Upper end of it", 4, func(r *analysisRow) float64 { return r.high }),
}
