package forecast

import (
	"slices"
	"strings"

	"soletrial/pipeline/units"
)

// The published range of what 100 g more on each shoe costs, percent: 0.78 of
// time over 3000 m and 1.11 of metabolic rate (Hoogkamer et al. 2016, doi
// 10.1249/MSS.0000000000001012; both figures from memory of its abstract).
const (
	MinPer100g = 0.78
	MaxPer100g = 1.11
)

// Range is a change of time over all curves, seconds; negative is faster. Least
// and Most are the curves' smallest and largest estimate, Low and High the ends
// of all their intervals together, missing where there is no interval.
type Range struct{ Min, Max, Low, High float64 }

// RangeOf returns the range of some rows, those of one shoe and race. There must be
// one at least.
func RangeOf(rows []Row) Range {
	r := Range{rows[0].ChangeS, rows[0].ChangeS, rows[0].LowS, rows[0].HighS}
	for _, row := range rows[1:] {
		r = Range{min(r.Min, row.ChangeS), max(r.Max, row.ChangeS), min(r.Low, row.LowS), max(r.High, row.HighS)}
	}
	return r
}

// Breakdown is what one shoe may be worth over one race: all of it, the part that
// its weight leads one to expect, and the rest, each as a range over the curves.
// Weight and Rest are missing where a mass is. The interval of Weight is the
// published range of the rule, that of Rest the measurement's.
type Breakdown struct {
	Rows         []Row
	Change       Range
	Weight, Rest Range
}

// BreakDown forecasts one effect over one race in its parts. Masses are of ONE shoe
// in grams; pctPer100g is the rule of [SplitWeight].
func BreakDown(e Effect, race Race, shoeG, referenceG, pctPer100g float64) Breakdown {
	o := Breakdown{Rows: Rows(e, race)}
	o.Change = RangeOf(o.Rows)
	by := func(k float64) float64 { return SplitWeight(e, shoeG, referenceG, k).Expected }
	ends := []float64{by(MinPer100g), by(MaxPer100g)}
	weight := e
	weight.Estimate, weight.Low, weight.High = by(pctPer100g), slices.Min(ends), slices.Max(ends)
	parts := Rows(weight, race)
	rest := slices.Clone(o.Rows)
	for i, part := range parts {
		rest[i].ChangeS -= part.ChangeS
		rest[i].LowS -= part.ChangeS
		rest[i].HighS -= part.ChangeS
	}
	o.Weight, o.Rest = RangeOf(parts), RangeOf(rest)
	return o
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
				tested = "ground that the register does not name"
			}
			why = "surface (tested on " + tested + ", raced on " + surface + ")"
		case "wear":
			why = "wear (one of the tested pairs was worn much further than another)"
		}
		words = append(words, why)
	}
	return words
}
