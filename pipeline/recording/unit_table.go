package recording

import (
	"slices"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// unit is a unit in which a foreign file may give a channel. A reading x means
// x*times/over+offset in the channel's own unit, or times/x for a pace. A zero
// over counts as 1; it is there so that 12 mm become exactly 1.2 cm.
type unit struct {
	name        string // as it is shown to people
	aliases     []string
	times, over float64
	offset      float64
	pace        bool   // time per distance
	refuse      string // why the unit cannot be used; "" when it can
}

const metresPerFoot = 0.3048 // international foot: a third of the yard of 1959

// unitTable holds, by channel, the units that are understood; the first is the
// channel's own. Aliases are in lower case without spaces.
var unitTable = [trial.ChannelCount][]unit{
	trial.PowerW: {
		{name: "W", aliases: []string{"w", "watt", "watts"}, times: 1},
		{name: "kW", aliases: []string{"kw"}, times: 1000},
		{
			name:    "W/kg",
			aliases: []string{"w/kg", "wkg", "watts/kg", "wperkg"},
			refuse:  "power per body mass cannot be turned into watts",
		},
	},
	trial.SpeedMps: {
		{name: "m/s", aliases: []string{"m/s", "mps", "m_s", "ms-1", "m·s-1"}, times: 1},
		{name: "km/h", aliases: []string{"km/h", "kmh", "kph", "km_h"}, times: 1, over: 3.6},
		{name: "mph", aliases: []string{"mph", "mi/h"}, times: units.MetresPerMile, over: 3600},
		{name: "mm/s", aliases: []string{"mm/s"}, times: 1, over: 1000},
		{name: "min/km", aliases: []string{"min/km", "min_km", "minkm", "/km"}, times: 1000.0 / 60, pace: true},
		{name: "s/km", aliases: []string{"s/km", "sec/km", "s_km"}, times: 1000, pace: true},
		{name: "s/mi", aliases: []string{"s/mi", "sec/mi", "s/mile"}, times: units.MetresPerMile, pace: true},
		{
			name:    "min/mi",
			aliases: []string{"min/mi", "min/mile", "min_mi", "/mi"},
			times:   units.MetresPerMile / 60,
			pace:    true,
		},
	},
	trial.DistanceM: {
		{name: "m", aliases: []string{"m", "meter", "meters", "metre", "metres"}, times: 1},
		{name: "km", aliases: []string{"km", "kilometers", "kilometres"}, times: 1000},
		{name: "mi", aliases: []string{"mi", "mile", "miles"}, times: units.MetresPerMile},
		{name: "cm", aliases: []string{"cm", "centimeters", "centimetres"}, times: 1, over: 100},
	},
	trial.CadenceSpm: {
		{name: "steps/min", aliases: []string{"spm", "steps/min", "stepsperminute", "steps/minute"}, times: 1},
		{
			name:    "rpm",
			aliases: []string{"rpm", "1/min", "/min", "strides/min", "stridesperminute", "cycles/min"},
			times:   1,
		},
	},
	trial.StepLengthM: {
		{name: "m", aliases: []string{"m", "meter", "meters", "metre", "metres"}, times: 1},
		{name: "cm", aliases: []string{"cm", "centimeters", "centimetres"}, times: 1, over: 100},
		{name: "mm", aliases: []string{"mm", "millimeters", "millimetres"}, times: 1, over: 1000},
	},
	trial.ContactMs: {
		{name: "ms", aliases: []string{"ms", "msec", "millisecond", "milliseconds"}, times: 1},
		{name: "s", aliases: []string{"s", "sec", "second", "seconds"}, times: 1000},
	},
	trial.OscillationCm: {
		{name: "cm", aliases: []string{"cm", "centimeter", "centimeters", "centimetres"}, times: 1},
		{name: "mm", aliases: []string{"mm", "millimeters", "millimetres"}, times: 1, over: 10},
		{name: "m", aliases: []string{"m", "meters", "metres"}, times: 100},
	},
	trial.HeartRateBpm: {
		{name: "bpm", aliases: []string{"bpm", "beats/min", "1/min", "/min", "beatsperminute"}, times: 1},
	},
	trial.AltitudeM: {
		{name: "m", aliases: []string{"m", "meter", "meters", "metre", "metres"}, times: 1},
		{name: "ft", aliases: []string{"ft", "feet"}, times: metresPerFoot},
	},
	trial.AirC: {
		{name: "°C", aliases: []string{"c", "°c", "degc", "celsius"}, times: 1},
		{name: "°F", aliases: []string{"f", "°f", "degf", "fahrenheit"}, times: 5, over: 9, offset: -160.0 / 9},
		{name: "K", aliases: []string{"k", "kelvin"}, times: 1, offset: -273.15},
	},
}

// unitNamed returns the unit of channel c that text stands for, or nil.
func unitNamed(c trial.Channel, text string) *unit {
	text = strings.ToLower(strings.ReplaceAll(strings.TrimSpace(text), " ", ""))
	for i := range unitTable[c] {
		if slices.Contains(unitTable[c][i].aliases, text) {
			return &unitTable[c][i]
		}
	}
	return nil
}

// convert gives x, read in unit u, in the channel's own unit. A pace of zero
// has no speed.
func (u *unit) convert(x float64) float64 {
	switch {
	case u.pace && x <= 0:
		return units.Missing
	case u.pace:
		return u.times / x
	case u.over != 0:
		return float64(float64(x*u.times)/u.over) + u.offset
	}
	return float64(x*u.times) + u.offset
}
