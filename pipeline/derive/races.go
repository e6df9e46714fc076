package derive

import (
	"slices"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/forecast"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// forecasts carries the differences in speed of the answer to the races that the method
// names. What heart rates say of speed is no row of a table, which could not say that it is
// indirect.
func forecasts(ds *trial.Dataset, r *Result) []forecast.Row {
	var rows []forecast.Row
	if e, _ := RaceAnswer(r); e == nil || e.Outcome != trial.Speed {
		return nil
	}
	for _, e := range Effects(r) {
		for _, race := range ds.Facts.Method.Races {
			seconds, err := units.ParseDuration(race.Time)
			if err != nil {
				continue // plaintext lets no other text in
			}
			rows = append(rows, forecast.Rows(e, forecast.Race{DistanceM: race.DistanceM, TimeS: seconds})...)
		}
	}
	return rows
}

// Effects returns the differences in speed against the reference shoe that are carried to
// races, the best shoe first: those of [RaceAnswer]. There are none where nothing can be
// carried to a race.
func Effects(r *Result) []forecast.Effect {
	e, g := RaceAnswer(r)
	if g == nil {
		return nil
	}
	reference := g.Reference()
	speed := e.MeanSpeed(reference)
	var effects []forecast.Effect
	for i := range g.Places {
		if shoe := g.Places[i].Shoe; shoe != reference {
			effects = append(effects, EffectOf(e, shoe, reference, speed, ""))
		}
	}
	return effects
}

// RaceAnswer returns the answer that is carried to races: that of the headline where it is in
// speed, else the one in speed with the most sessions, else that of the headline, whose
// heart rates at the same pace speak of speed only by an exponent. nil where there is none.
func RaceAnswer(r *Result) (*answer.Effort, *answer.Group) {
	if r.Answers == nil {
		return nil, nil
	}
	e, g := r.Answers.Top()
	if g == nil || e.Outcome == trial.Speed {
		return e, g
	}
	best := e
	for i := range r.Answers.Efforts {
		other := &r.Answers.Efforts[i]
		if other.Outcome == trial.Speed && other.Main() != nil &&
			(best.Outcome != trial.Speed || other.Sessions > best.Sessions) {
			best = other
		}
	}
	if best.Outcome != trial.Speed && best.Effort != trial.Pace {
		return nil, nil
	}
	return best, best.Main()
}

// EffectOf is the difference in speed of two shoes of one group as forecasts take it, over all
// runners or of one of the posterior's. From heart rates it has no interval on one day.
func EffectOf(e *answer.Effort, shoe, reference string, speed float64, runner string) forecast.Effect {
	m := units.Missing
	effect := forecast.Effect{Shoe: shoe, Reference: reference, Estimate: m, Low: m, High: m, DayLow: m, DayHigh: m,
		TestSpeed: speed}
	p := e.Posterior
	a, b := p.Shoe(shoe), p.Shoe(reference)
	d, dayLow, dayHigh := decide.Difference{Mean: m, Low: m, High: m}, m, m
	switch {
	case e.Outcome != trial.Speed:
		if low, median, high, ok := p.InSpeed(a, b, e.Sensor, p.Difference(a, b, e.Sensor)); ok {
			d = decide.Difference{Mean: median, Low: low, High: high}
		}
	default:
		if runner != "" && p.Terms.Runner {
			i := slices.Index(p.Runners, runner)
			day := p.OneDayOf(a, b, i, e.Sensor)
			d, dayLow, dayHigh = p.OfRunner(a, b, i, e.Sensor), day.Low, day.High
			break
		}
		d = p.Difference(a, b, e.Sensor)
		dayLow, dayHigh = p.NewRunnerInterval(a, b, e.Sensor)
	}
	effect.Estimate, effect.Low, effect.High = decide.Percent(d.Mean), decide.Percent(d.Low), decide.Percent(d.High)
	effect.DayLow, effect.DayHigh = decide.Percent(dayLow), decide.Percent(dayHigh)
	return effect
}
