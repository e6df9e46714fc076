package app

import (
	"strings"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// imperial is how the address asks for miles, feet and °F.
const imperial = "imperial"

// Conversion returns what leads from a metric unit to the one that numbers are shown in.
func (m *Model) Conversion(unit string) units.Conversion {
	if m.choice.Imperial {
		return units.Imperial(unit)
	}
	return units.Conversion{Unit: unit}
}

// Pace prints a pace, given in seconds per kilometre, with its unit.
func (m *Model) Pace(secondsPerKm float64) string {
	if m.choice.Imperial {
		return units.FormatPace(units.PerMile(secondsPerKm)) + " min/mile"
	}
	return units.FormatPace(secondsPerKm) + " min/km"
}

// AtLevel says at which effort, such as "at 268 W".
func (m *Model) AtLevel(level string) string {
	if pace, held := strings.CutPrefix(level, string(trial.Pace)+" "); held && m.choice.Imperial {
		if seconds, err := units.ParsePace(pace); err == nil {
			return "at " + units.FormatPace(units.PerMile(seconds)) + " per mile"
		}
	}
	return compare.AtLevel(level)
}

// converted returns values in another unit; the same slice where nothing changes.
func converted(values []float64, to units.Conversion) []float64 {
	if to.Of(1) == 1 && to.Of(0) == 0 {
		return values
	}
	list := make([]float64, len(values))
	for i, v := range values {
		list[i] = to.Of(v)
	}
	return list
}
