package forecast

import "soletrial/pipeline/units"

// Limits of the evidence. Equal-effort comparisons and the curves behind them
// come from speeds near the ones tested; Riegel's scaling of race times is said
// to hold from about 3.5 to 230 minutes.
const (
	speedReach  = 0.15
	shortestMin = 3.5
	longestMin  = 230
)

// Effect is a difference in speed between two shoes at equal effort, percent,
// with the mean speed (m/s) of the reference shoe's blocks.
type Effect struct {
	Shoe, Reference     string
	Estimate, Low, High float64
	TestSpeed           float64
}

// Race is a distance and the time expected in the reference shoe.
type Race struct{ DistanceM, TimeS float64 }

// Rows forecasts one effect over one race with every curve.
func Rows(e Effect, race Race) []Row {
	speed := race.DistanceM / race.TimeS
	rows := make([]Row, 0, len(Curves))
	for _, curve := range Curves {
		change := func(percent float64) float64 {
			gain := curve.Transfer(percent/100, e.TestSpeed, speed)
			return race.TimeS/(1+gain) - race.TimeS
		}
		rows = append(rows, Row{
			Shoe: e.Shoe, Reference: e.Reference, DistanceM: race.DistanceM, BaseTimeS: race.TimeS, Curve: curve.Name,
			ChangeS: change(e.Estimate), LowS: change(e.High), HighS: change(e.Low), // a higher speed is a lower time
			Extrapolated: extrapolated(e.TestSpeed, speed, race.TimeS),
		})
	}
	return rows
}

// extrapolated lists what about the race lies outside the evidence.
func extrapolated(testSpeed, raceSpeed, seconds float64) []string {
	var outside []string
	if ratio := raceSpeed / testSpeed; !(ratio >= 1-speedReach && ratio <= 1+speedReach) {
		outside = append(outside, "speed")
	}
	if minutes := seconds / 60; minutes < shortestMin || minutes > longestMin {
		outside = append(outside, "duration")
	}
	return outside
}

// Weight is a difference split into what the shoes' masses lead one to expect
// and the rest, all in percent of speed at equal effort.
type Weight struct {
	MassDifferenceG         float64 // of one shoe against one shoe of the reference
	Expected                float64
	Rest, RestLow, RestHigh float64
}

// SplitWeight applies the published rule that every 100 g on each shoe cost
// about pctPer100g percent (Frederick 1984; Franz 2012, doi
// 10.1249/MSS.0b013e3182514a88; Hoogkamer 2016, doi
// 10.1249/MSS.0000000000001012) to an effect. Masses are of ONE shoe, in grams;
// when one is missing everything that needs it is.
func SplitWeight(e Effect, shoeG, referenceG, pctPer100g float64) Weight {
	w := Weight{MassDifferenceG: shoeG - referenceG}
	w.Expected = -pctPer100g * w.MassDifferenceG / 100
	if !units.Known(w.Expected) {
		return Weight{MassDifferenceG: units.Missing, Expected: units.Missing, Rest: units.Missing,
			RestLow: units.Missing, RestHigh: units.Missing}
	}
	w.Rest, w.RestLow, w.RestHigh = e.Estimate-w.Expected, e.Low-w.Expected, e.High-w.Expected
	return w
}
