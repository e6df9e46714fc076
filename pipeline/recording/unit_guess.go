package recording

import (
	"slices"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// perLegBelow is the median cadence, per minute, below which a recording counts
// the steps of one leg. Running is above 140 steps a minute and brisk walking
// near 110 to 130 of both feet, so one leg of a runner (70 to 100) stays well
// below 120. Common practice, no source.
const perLegBelow = 120

// guess is a range of medians that only one unit can give.
type guess struct {
	from, below float64
	unit        string
}

// guessTable says, by channel, which unit a column without one must be in,
// judged by the median of its nonzero values. Outside the ranges the channel's
// own unit is taken. The limits lie between what people run: 2 to 6.5 m/s are 7
// to 23 km/h, oscillation is 4 to 13 cm, a step 0.7 to 1.9 m, contact 150 to
// 330 ms (the ranges of trial.DefaultLimits). Miles, feet and degrees
// Fahrenheit overlap with their neighbours and are never guessed.
var guessTable = [trial.ChannelCount][]guess{
	trial.SpeedMps:      {{from: 7, below: 30, unit: "km/h"}, {from: 1000, below: 8000, unit: "mm/s"}},
	trial.StepLengthM:   {{from: 30, below: 300, unit: "cm"}, {from: 300, below: 3000, unit: "mm"}},
	trial.ContactMs:     {{from: 0.08, below: 0.6, unit: "s"}},
	trial.OscillationCm: {{from: 25, below: 250, unit: "mm"}, {from: 0.01, below: 0.25, unit: "m"}},
}

// guessUnit returns the unit that the values of a channel must be in and
// whether that is another one than the channel's own.
func guessUnit(c trial.Channel, median float64) (u *unit, guessed bool) {
	for _, g := range guessTable[c] {
		if g.from <= median && median < g.below {
			return unitNamed(c, g.unit), true
		}
	}
	return &unitTable[c][0], false
}

// median returns the median of the nonzero known values, missing if none.
func median(values []float64) float64 {
	kept := make([]float64, 0, len(values))
	for _, v := range values {
		if units.Known(v) && v != 0 {
			kept = append(kept, v)
		}
	}
	if len(kept) == 0 {
		return units.Missing
	}
	slices.Sort(kept)
	return kept[len(kept)/2]
}
