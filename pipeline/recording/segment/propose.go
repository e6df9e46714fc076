package segment

import (
	"fmt"
	"strconv"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// What makes a stretch a block: the same choices as for laps.
const (
	shortestBlockS = 120  // a shorter stretch is a rest or a burst
	sameLength     = 0.25 // a stretch may differ from the length meant by this share
	easyShare      = 0.8  // of the hardest long stretch
)

// Propose proposes a block for every stretch that is long enough to be one,
// numbered from 1, with the shoe left blank for a person to fill. Easy running is
// proposed as excluded, with the reason.
func Propose(c trial.Channel, stretches []Stretch, session trial.Session) []trial.Block {
	meant := session.Facts.Protocol.BlockS
	shortest := float64(shortestBlockS)
	if meant > 0 {
		shortest = float64((1 - sameLength) * meant)
	}
	var long []Stretch
	hardest := 0.0
	for _, s := range stretches {
		if s.EndS-s.StartS >= shortest && s.Mean > 0 {
			long, hardest = append(long, s), max(hardest, s.Mean)
		}
	}
	blocks := make([]trial.Block, len(long))
	for i, s := range long {
		blocks[i] = blank(strconv.Itoa(i+1), s)
		blocks[i].Note = fmt.Sprintf("found by %s, %s", c.Info().Label, withUnit(c, s.Mean))
		blocks[i].Reason = whyNot(c, s, meant, hardest)
		blocks[i].Excluded = blocks[i].Reason != ""
	}
	return blocks
}

func whyNot(c trial.Channel, s Stretch, meant, hardest float64) string {
	switch length := s.EndS - s.StartS; {
	case s.Mean < float64(easyShare*hardest):
		return fmt.Sprintf("proposed: %s of %s is easier than the hardest stretch at %s", c.Info().Label, withUnit(c, s.Mean), withUnit(c, hardest))
	case meant > 0 && length > float64((1+sameLength)*meant):
		return fmt.Sprintf("proposed: stretch of %.0f s is longer than the protocol's block of %.0f s", length, meant)
	}
	return ""
}

func withUnit(c trial.Channel, v float64) string {
	return units.FormatDecimal(v, c.Info().Decimals) + " " + c.Info().Unit
}

func blank(id string, s Stretch) trial.Block {
	b := trial.Block{ID: id, Start: s.StartS, End: s.EndS, Target: units.Missing,
		DistanceM: units.Missing, Laps: units.Missing, RPE: units.Missing, ComfortMm: units.Missing}
	for m := range b.Measured {
		b.Measured[m] = units.Missing
	}
	return b
}
