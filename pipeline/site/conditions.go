package site

import (
	"soletrial/pipeline/conditions"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// conditions lists the weather and the ground of a session as written down, and
// what they mean.
func (s *site) conditions(session *trial.Session) []factLine {
	c := &session.Facts.Conditions
	return withValues(
		bothFact("Air", c.AirC, 1, "°C"), fact{"Humidity", quantity(c.HumidityPct, 0, "%"), ""},
		fact{"Pressure", quantity(c.PressureHpa, 0, "hPa"), ""}, bothFact("Wind", c.WindMps, 1, "m/s"),
		bothFact("Wet-bulb globe", c.WbgtC, 1, "°C"), fact{"Sky", c.Sky, ""}, fact{"Surface", c.Surface, ""},
		fact{"Air density", airWords(s.air(session)), ""}, fact{"Wind over a lap", s.windWords(session), ""},
		fact{"Heat", heatWords(c.WbgtC), ""},
	)
}

// air returns the air of a session, at the altitude of its venue.
func (s *site) air(session *trial.Session) conditions.Air {
	c, altitude := &session.Facts.Conditions, units.Missing
	if venue := s.ds.Venue(session.Facts.Venue); venue != nil {
		altitude = venue.AltitudeM
	}
	return conditions.AirOf(c.AirC, c.HumidityPct, c.PressureHpa, altitude)
}

func airWords(air conditions.Air) string {
	words := quantity(air.Density, 3, "kg/m³")
	if words != "" && air.Assumed != "" {
		words += "; " + air.Assumed
	}
	return words
}

// windWords says what the wind may have cost over laps of a track, at the mean
// speed of the blocks; "" without wind, away from a track, or for a runner of whom
// height or mass is not known.
func (s *site) windWords(session *trial.Session) string {
	wind := session.Facts.Conditions.WindMps
	runner, venue, result := s.ds.Runner(session.Facts.Runner), s.ds.Venue(session.Facts.Venue),
		s.lookup.results[session.ID]
	if runner == nil || venue == nil || venue.Kind != "track" || result == nil || !(wind > 0) {
		return ""
	}
	sum, n := 0.0, 0.0
	for i := range result.Blocks {
		if v := result.Blocks[i].Outcomes[trial.Speed]; units.Known(v) {
			sum += v
			n++
		}
	}
	cost := conditions.LapWind(conditions.Runner{HeightCm: runner.HeightCm, MassKg: runner.MassKg},
		s.air(session).Density, sum/n, wind)
	if !units.Known(cost.High) {
		return ""
	}
	return "may add " + figure.Plain(cost.Low, 1) + " to " + figure.Plain(cost.High, 1) +
		" % to the cost of running, in every shoe alike; it does not cancel"
}

func heatWords(wbgtC float64) string {
	band, known := conditions.BandOf(wbgtC)
	if !known {
		return ""
	}
	return band.Meaning + " (" + conditions.HeatCaution + ")"
}
