package forecast

import (
	"slices"
	"strings"

	"soletrial/pipeline/units"
)

// Range is a number over all curves, seconds or percent. Min and Max are the curves'
// smallest and largest estimate, Low and High the ends of all their intervals
// together, missing where there is no interval. Of time, negative is faster.
type Range struct{ Min, Max, Low, High float64 }

// rangeOf returns the range of what the curves say; there must be one at least.
func rangeOf(parts []Part) Range {
	r := Range{parts[0].Value, parts[0].Value, parts[0].Low, parts[0].High}
	for _, p := range parts[1:] {
		r = Range{min(r.Min, p.Value), max(r.Max, p.Value), min(r.Low, p.Low), max(r.High, p.High)}
	}
	return r
}

// RangeOf returns the range of some rows, those of one shoe and race. There must be
// one at least.
func RangeOf(rows []Row) Range {
	return rangeOf(parts(rows, func(row Row) Part { return Part{row.ChangeS, row.LowS, row.HighS} }))
}

// OneDay returns the range of some rows with the interval on one day to come.
func OneDay(rows []Row) Range {
	return rangeOf(parts(rows, func(row Row) Part { return Part{row.ChangeS, row.DayLowS, row.DayHighS} }))
}

func parts(rows []Row, of func(Row) Part) []Part {
	list := make([]Part, len(rows))
	for i, row := range rows {
		list[i] = of(row)
	}
	return list
}

// Breakdown is what one shoe may be worth over one race, in seconds: all of it, the
// part that its weight leads one to expect, and the rest, by each curve and as a range
// over the curves. Weight and Rest are missing where a mass is.
type Breakdown struct {
	Rows    []Row
	ByCurve []CurveWeight // in the order of the rows
	Change  Range
	// Day is Change with the interval on one day to come.
	Day          Range
	Weight, Rest Range
}

// BreakDown forecasts one effect over one race in its parts. Masses are of ONE shoe in
// grams; costPer100g is percent of energy per 100 g on each shoe. What weight explains is
// taken at the speed of the race, by the same curve as the effect.
func BreakDown(e Effect, race Race, shoeG, referenceG, costPer100g float64) Breakdown {
	b := Breakdown{Rows: Rows(e, race)}
	b.Change, b.Day = RangeOf(b.Rows), OneDay(b.Rows)
	speed := race.DistanceM / race.TimeS
	var weight, rest []Part
	for i, c := range Curves {
		expected := weightPart(costPer100g, func(k float64) float64 {
			return race.TimeS/(1+c.WeightGain(speed, shoeG-referenceG, k)) - race.TimeS
		})
		row := b.Rows[i]
		split := CurveWeight{c.Name, expected, Part{row.ChangeS, row.LowS, row.HighS}.minus(expected.Value)}
		b.ByCurve = append(b.ByCurve, split)
		weight, rest = append(weight, split.Expected), append(rest, split.Rest)
	}
	b.Weight, b.Rest = rangeOf(weight), rangeOf(rest)
	return b
}

// Setting is where an effect was measured and where it is to be raced.
type Setting struct {
	Kinds                   []string // of the venues that were run on, as in the register
	Surface                 string   // of the race: road, track or trail
	WornKm, ReferenceWornKm float64  // of the pair that was tested and of the reference pair
	WearApartKm             float64  // how far apart these may be (the dataset's limit)
}

// Outside lists what about the setting lies outside the evidence: "surface" when
// no session behind the effect was run on the race's surface (a treadmill is none
// of the three), "wear" when the tested pairs were worn further apart than the
// limit, so that part of the effect may be wear that pairs alike in wear would not
// show, and "wear unknown" when the register does not say.
func (s Setting) Outside() []string {
	var outside []string
	if !slices.Contains(s.Kinds, s.Surface) {
		outside = append(outside, "surface")
	}
	switch apart := s.WornKm - s.ReferenceWornKm; {
	case !units.Known(apart):
		outside = append(outside, "wear unknown")
	case max(apart, -apart) > s.WearApartKm:
		outside = append(outside, "wear")
	}
	return outside
}

// OutsideWords says in words what lies outside the evidence: the marks of rows and
// of [Setting.Outside], for an effect measured at a speed in m/s on some kinds of
// venues and raced on a surface.
func OutsideWords(outside []string, testSpeed float64, kinds []string, surface string) []string {
	var words []string
	for _, why := range outside {
		switch why {
		case "speed":
			why = "speed (tested at " + units.FormatPace(units.Pace(testSpeed)) + " per km)"
		case "duration":
			why = "duration (the curves and Riegel's formula hold for 3.5 to 230 minutes)"
		case "surface":
			tested := strings.Join(kinds, " and ")
			if tested == "" {
				tested = "a venue without a kind in venues.csv"
			}
			why = "surface (tested on " + tested + ", raced on " + surface + ")"
		case "wear":
			why = "wear (one of the tested pairs was worn much further than another)"
		}
		words = append(words, why)
	}
	return words
}
