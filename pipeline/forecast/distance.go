package forecast

import (
	"strings"

	"soletrial/pipeline/units"
)

// The shortest and the longest race that is forecast, metres.
const (
	ShortestM = 1500
	LongestM  = 100000
)

// Distance is a race distance with a name.
type Distance struct {
	Name   string
	Metres float64
}

// Distances are the distances that have names, shortest first. The half marathon
// is half of 42.195 km; a mile is 1609.344 m exactly.
var Distances = []Distance{
	{"1500", 1500}, {"mile", units.MetresPerMile}, {"3000", 3000}, {"5km", 5000}, {"10km", 10000},
	{"half", 21097.5}, {"marathon", 42195}, {"50km", 50000}, {"100km", 100000},
}

// alias is another way people write a name.
var alias = map[string]string{"half marathon": "half", "half-marathon": "half", "half_marathon": "half",
	"1 mile": "mile", "1mile": "mile"}

// lengthUnits are what a number may end in, longer endings first, and its metres.
var lengthUnits = []struct {
	end    string
	metres float64
}{
	{"miles", units.MetresPerMile}, {"mile", units.MetresPerMile}, {"mi", units.MetresPerMile},
	{"km", 1000}, {"k", 1000}, {"m", 1},
}

// ParseDistance reads a distance by name ("half", "marathon"), in kilometres
// ("15km", "10k"), in miles ("10 miles", "5mi") or in metres ("3000", "3000m"), from
// 1500 m to 100 km; capitals and blanks before the unit do not matter. The error is
// a *units.SyntaxError.
func ParseDistance(text string) (float64, error) {
	plain := strings.ToLower(strings.TrimSpace(text))
	if name, known := alias[plain]; known {
		plain = name
	}
	for _, d := range Distances {
		if d.Name == plain {
			return d.Metres, nil
		}
	}
	// Else a number with or without a unit.
	number, scale, unit := plain, 1.0, ""
	for _, u := range lengthUnits {
		if before, found := strings.CutSuffix(plain, u.end); found {
			number, scale, unit = strings.TrimRight(before, " "), u.metres, u.end
			break
		}
	}
	value, err := units.ParseDecimal(number)
	metres := float64(value * scale)
	if err == nil && metres >= ShortestM && metres <= LongestM {
		return metres, nil
	}
	// What to write instead.
	hint := "write one of " + distanceNames() + ", or a number of metres, of kilometres with km, or of miles with mi"
	if err == nil && unit == "" && value > 0 && value <= LongestM/1000 {
		hint = "a number alone is metres: write " + number + "km or " + number + "mi"
	}
	return units.Missing, &units.SyntaxError{Text: text, Want: "a distance from 1500 m to 100 km", Hint: hint}
}

func distanceNames() string {
	var names []string
	for _, d := range Distances {
		names = append(names, d.Name)
	}
	return strings.Join(names, ", ")
}

// DistanceText writes a distance for people: "marathon (42.195 km)", "15 km",
// "1500 m".
func DistanceText(metres float64) string {
	text := units.FormatShort(metres, 3) + " m"
	if metres >= 5000 {
		text = units.FormatShort(metres/1000, 4) + " km"
	}
	switch metres {
	case 21097.5:
		return "half marathon (" + text + ")"
	case 42195:
		return "marathon (" + text + ")"
	case units.MetresPerMile:
		return "mile (" + text + ")"
	}
	return text
}
