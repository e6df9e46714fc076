package recording

import (
	"fmt"
	"math"
	"strconv"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// What makes a lap a block. Engineering choices, no source: a block is meant to
// hold an effort for minutes, a rest between two changes of shoe is mostly
// shorter, and easy running before and after is clearly slower.
const (
	shortestLapS = 120  // a shorter lap is a rest or a double press
	sameLength   = 0.25 // a lap may differ from the protocol's block by this share
	slowShare    = 0.8  // of the median speed of the other laps
)

// Pressed reports whether laps tell how the run was divided. A single lap does
// not, nor do laps that the device made by itself, one after every kilometre or
// mile.
func Pressed(laps []trial.Lap) bool {
	if len(laps) < 2 {
		return false
	}
	for _, lap := range laps[:len(laps)-1] { // the last one ends with the recording
		if lap.Trigger != "distance" || math.Abs(lap.DistanceM-laps[0].DistanceM) > sameDistance*laps[0].DistanceM {
			return true
		}
	}
	return false
}

// sameDistance is the share by which laps that a device makes by distance differ.
const sameDistance = 0.01

// ProposeBlocks proposes a block for every lap that is long enough to be one,
// numbered from 1, with the shoe left blank for a person to fill. A lap that
// looks like something else (longer than the protocol's block, or much slower
// than the others) is proposed as excluded, with the reason. The lap distance
// of a sensor is not a measured distance and is not copied.
func ProposeBlocks(laps []trial.Lap, session trial.Session) []trial.Block {
	blockS := session.Facts.Protocol.BlockS
	shortest := float64(shortestLapS)
	if blockS > 0 {
		shortest = (1 - sameLength) * blockS
	}
	var kept []trial.Lap
	var numbers []int
	for i, lap := range laps {
		if lap.EndS-lap.StartS >= shortest {
			kept, numbers = append(kept, lap), append(numbers, i+1)
		}
	}
	usual := medianSpeed(kept)
	blocks := make([]trial.Block, len(kept))
	for i, lap := range kept {
		blocks[i] = blankBlock(strconv.Itoa(i+1), lap)
		blocks[i].Note = fmt.Sprintf("lap %d", numbers[i])
		blocks[i].Reason = whyNotABlock(lap, blockS, usual)
		blocks[i].Excluded = blocks[i].Reason != ""
	}
	return blocks
}

func blankBlock(id string, lap trial.Lap) trial.Block {
	b := trial.Block{ID: id, Start: lap.StartS, End: lap.EndS, Target: units.Missing,
		DistanceM: units.Missing, Laps: units.Missing, RPE: units.Missing, ComfortMm: units.Missing}
	for m := range b.Measured {
		b.Measured[m] = units.Missing
	}
	return b
}

func whyNotABlock(lap trial.Lap, blockS, usual float64) string {
	length := lap.EndS - lap.StartS
	switch {
	case blockS > 0 && length > (1+sameLength)*blockS:
		return fmt.Sprintf("proposed: lap of %.0f s is longer than the protocol's block of %.0f s", length, blockS)
	case lapSpeed(lap) < slowShare*usual:
		return fmt.Sprintf("proposed: lap at %.2f m/s is slower than the others at %.2f m/s", lapSpeed(lap), usual)
	}
	return ""
}

// lapSpeed is the lap's mean speed, missing when it has no distance or no length.
func lapSpeed(l trial.Lap) float64 {
	if l.EndS <= l.StartS {
		return units.Missing
	}
	return l.DistanceM / (l.EndS - l.StartS)
}

func medianSpeed(laps []trial.Lap) float64 {
	speeds := make([]float64, len(laps))
	for i, lap := range laps {
		speeds[i] = lapSpeed(lap)
	}
	return median(speeds)
}
