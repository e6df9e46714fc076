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

// ParseDistance reads a distance by name, in kilometres ("15km") or in metres
// ("3000", "3000m"), from 1500 m to 100 km. The error is a *units.SyntaxError.
func ParseDistance(text string) (float64, error) {
	for _, d := range Distances {
		if d.Name == text {
			return d.Metres, nil
		}
	}
	number, scale := text, 1.0
	if before, found := strings.CutSuffix(text, "km"); found {
		number, scale = before, 1000
	} else if before, found := strings.CutSuffix(text, "m"); found {
		number = before
	}
	value, err := units.ParseDecimal(number)
	if metres := float64(value * scale); err == nil && metres >= ShortestM && metres <= LongestM {
		return metres, nil
	}
	return units.Missing, &units.SyntaxError{Text: text, Want: "a distance from 1500 m to 100 km", Hint: "write one of " + distanceNames() + ", or a number of metres, or of kilometres with km"}
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
	text := trimmed(metres, 3) + " m"
	if metres >= 5000 {
		text = trimmed(metres/1000, 4) + " km"
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

func trimmed(x float64, decimals int) string {
	text := units.FormatDecimal(x, decimals)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}
