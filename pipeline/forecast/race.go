package forecast

// Limits of the evidence. Equal-effort comparisons and the curves behind them
// come from speeds near the ones tested; Riegel's scaling of race times is said
// to hold from about 3.5 to 230 minutes.
const (
	speedReach  = 0.15
	shortestMin = 3.5
	longestMin  = 230
)

// Effect is a difference in speed between two shoes at equal effort, percent,
// with the mean speed (m/s) of the reference shoe's blocks. DayLow and DayHigh are
// the interval on one day to come, missing where nothing says how days differ.
type Effect struct {
	Shoe, Reference     string
	Estimate, Low, High float64
	DayLow, DayHigh     float64
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
			// A higher speed is a lower time.
			ChangeS: change(e.Estimate), LowS: change(e.High), HighS: change(e.Low),
			DayLowS: change(e.DayHigh), DayHighS: change(e.DayLow),
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
