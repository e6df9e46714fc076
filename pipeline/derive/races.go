package derive

import (
	"soletrial/pipeline/compare"
	"soletrial/pipeline/forecast"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// forecasts carries the speed differences of the ranking with the most blocks
// to the races that the method names.
func forecasts(ds *trial.Dataset, r *Result) []forecast.Row {
	var rows []forecast.Row
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

// Effects returns the speed differences against the reference shoe at the level
// with the most blocks whose primary outcome is speed, in ranking order; none
// when there is no such level.
func Effects(r *Result) []forecast.Effect {
	for _, ranking := range r.Compare.Rankings {
		if ranking.Outcome != trial.Speed {
			continue
		}
		reference := referenceOf(ranking)
		speed := MeanSpeed(r, reference, ranking.Level, "")
		var effects []forecast.Effect
		for _, p := range ranking.Places {
			if !p.Reference {
				effects = append(effects, forecast.Effect{Shoe: p.Shoe, Reference: reference, Estimate: p.Estimate,
					Low: p.Low, High: p.High, DayLow: units.Missing, DayHigh: units.Missing, TestSpeed: speed})
			}
		}
		return effects
	}
	return nil
}

func referenceOf(ranking compare.Ranking) string {
	for _, p := range ranking.Places {
		if p.Reference {
			return p.Shoe
		}
	}
	return ""
}

// MeanSpeed averages the speed of a shoe's included blocks at a level, those of
// one runner where one is named.
func MeanSpeed(r *Result, shoe, level, runner string) float64 {
	sum, n := 0.0, 0.0
	eachBlock(r, level, runner, func(_ *trial.Session, b *Block) {
		if b.Shoe == shoe {
			sum += b.Outcomes[trial.Speed]
			n++
		}
	})
	return sum / n
}
