package steady

import (
	"math"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// GroundDistance returns the metres of a block measured on the ground: what was
// written down, otherwise its laps in the venue's lane; missing without either.
func GroundDistance(b *trial.Block, venue *trial.Venue) float64 {
	if units.Known(b.DistanceM) || venue == nil {
		return b.DistanceM
	}
	return float64(b.Laps * LapLength(venue.LapM, venue.Lane))
}

// A lane of a standard track is 1.22 m wide; it is measured 0.30 m from the kerb
// in lane 1 and 0.20 m from the inside line in the others (World Athletics Track
// and Field Facilities Manual, chapter 2, as restated in secondary sources).
const (
	laneWidthM   = 1.22
	kerbM, lineM = 0.30, 0.20
)

// LapLength returns the length of a lap, m, in a lane (1 inside) of a track whose
// lap in lane 1 is given: the bends make up one full turn, so a lane further out
// is longer by 2 pi times the difference of the radii. A missing lane is lane 1;
// a lane that is no whole number from 1 up gives [units.Missing].
func LapLength(lapM, lane float64) float64 {
	switch {
	case !units.Known(lane) || lane == 1:
		return lapM
	case lane < 1 || lane != math.Floor(lane):
		return units.Missing
	}
	return lapM + float64(2*math.Pi*(float64(laneWidthM*(lane-1))+lineM-kerbM))
}
