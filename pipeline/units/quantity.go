package units

import (
	"fmt"
	"strings"
)

// measure is a kind of quantity: its units by how people write them, as multiples of
// the first one, in which results are.
type measure struct {
	name  string
	units map[string]float64
}

// The yard is 3 feet; factors as in [MetresPerFoot].
var (
	masses = measure{
		"a mass", map[string]float64{"": 1, "g": 1, "gram": 1, "grams": 1, "oz": GramsPerOunce, "kg": 1000},
	}
	powers  = measure{"a power", map[string]float64{"": 1, "w": 1, "watt": 1, "watts": 1}}
	rates   = measure{"a heart rate", map[string]float64{"": 1, "bpm": 1, "/min": 1}}
	lengths = measure{"a length", map[string]float64{"": 1, "m": 1, "km": 1000, "yd": 3 * MetresPerFoot,
		"yard": 3 * MetresPerFoot, "yards": 3 * MetresPerFoot, "ft": MetresPerFoot, "mi": MetresPerMile,
		"mile": MetresPerMile, "miles": MetresPerMile}}
)

// ParseMass reads a mass as people write it, in grams: "214", "214 g", "7.5oz".
func ParseMass(text string) (float64, error) { return masses.parse(text) }

// ParsePower reads a power as people write it, in watts: "268", "268 W".
func ParsePower(text string) (float64, error) { return powers.parse(text) }

// ParseHeartRate reads a heart rate as people write it: "154", "154 bpm".
func ParseHeartRate(text string) (float64, error) { return rates.parse(text) }

// ParseLength reads a length as people write it, in metres: "400", "440 yd",
// "0.25 mi", "10 km".
func ParseLength(text string) (float64, error) { return lengths.parse(text) }

// ParseAnyPace reads a pace as people write it, in seconds per kilometre: "4:02",
// "4:02/km", "4:02 min/km", "6:30/mi", "6:30 min/mile".
func ParseAnyPace(text string) (float64, error) {
	clock, unit, perMile := strings.TrimSpace(text), "", false
	if at := strings.IndexFunc(clock, func(r rune) bool { return r != ':' && r != '.' && (r < '0' || r > '9') }); at >=
		0 {
		clock, unit = clock[:at], strings.ToLower(strings.ReplaceAll(clock[at:], " ", ""))
	}
	switch strings.TrimPrefix(unit, "min") {
	case "", "/km":
	case "/mi", "/mile":
		perMile = true
	default:
		return Missing, fmt.Errorf("%q is not a pace: write it as 4:02/km or 6:30/mi", text)
	}
	pace, err := ParsePace(clock)
	if err != nil || !perMile {
		return pace, err
	}
	return float64(1000*pace) / MetresPerMile, nil
}

// parse reads a plain decimal number with or without a unit after it.
func (m measure) parse(text string) (float64, error) {
	number := strings.TrimSpace(text)
	unit := ""
	if at := strings.IndexFunc(number, func(r rune) bool { return r != '.' && r != '-' && (r < '0' || r > '9') }); at >=
		0 {
		number, unit = number[:at], strings.ToLower(strings.TrimSpace(number[at:]))
	}
	factor, known := m.units[unit]
	value, err := ParseDecimal(number)
	if !known || err != nil || number == "" {
		return Missing, fmt.Errorf("%q is not %s", text, m.name)
	}
	return float64(value * factor), nil
}
