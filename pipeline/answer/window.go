package answer

import (
	"math"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/trial"
)

// windowShiftS is by how much the other windows differ from the published one: an
// engineering choice, half of the usual trim at the start.
const windowShiftS = 30

// TrimOf returns the trim of one of the windows that show whether an answer is robust,
// from the published one: the same length moved toward the start or the end of the block as
// far as the trims allow, both ends cut by more, or the whole laps that fit.
func TrimOf(window decide.Window, published trial.Trim) trial.Trim {
	t := published
	move := func(start, end float64) {
		t.HeadS, t.HeartRateHeadS, t.TailS = t.HeadS+start, t.HeartRateHeadS+start, t.TailS+end
	}
	switch window {
	case decide.EarlierWindow:
		by := math.Min(windowShiftS, math.Min(t.HeadS, t.HeartRateHeadS))
		move(-by, by)
	case decide.LaterWindow:
		by := math.Min(windowShiftS, t.TailS)
		move(by, -by)
	case decide.ShorterWindow:
		move(windowShiftS, windowShiftS)
	case decide.LapsWindow:
		if t.Laps == trial.WholeLaps {
			t.Laps = "" // the published window is that already: the seconds are the other choice
		} else {
			t.Laps = trial.WholeLaps
		}
	}
	return t
}
