package steady

import (
	"math"
	"slices"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// window returns the steady window of a block, for heart rate or for everything else:
// the seconds of the trim, or, where it asks for whole laps, as many whole laps of the
// venue's lane as fit after the start. Where not one fits, or the lap or the distance is not
// known, it is the seconds.
func (c *cutter) window(b *trial.Block, heartRate bool) (from, to float64) {
	from, to = c.trim.Trimmed(b.Start, b.End, heartRate)
	if c.trim.Laps != trial.WholeLaps || c.venue == nil {
		return from, to
	}
	if end, ok := c.lapsEnd(b, from, to); ok {
		to = end
	}
	return from, to
}

// lapsEnd returns when the last whole lap that starts at from ends, to a tenth of a second.
// Laps are counted by the recorded distance, corrected by the one measured on the ground
// where the block has it.
func (c *cutter) lapsEnd(b *trial.Block, from, to float64) (end float64, ok bool) {
	covered := c.wayFrom(from)
	lap := LapLength(c.venue.LapM, c.venue.Lane)
	if covered == nil || !(lap > 0) || !(to > from) {
		return 0, false
	}
	ratio := 1.0
	if r := GroundDistance(b, c.venue) / c.wayFrom(b.Start)(b.End); r > 0 {
		ratio = r
	}
	laps := math.Floor(float64(ratio*covered(to)) / lap)
	if !(laps >= 1) {
		return 0, false
	}
	// Bisection: the way grows with time.
	wanted, low, high := float64(laps*lap)/ratio, from, to
	for high-low > 0.01 {
		if mid := (low + high) / 2; covered(mid) < wanted {
			low = mid
		} else {
			high = mid
		}
	}
	return math.Round(float64(10*high)) / 10, true
}

// wayFrom returns a function that tells the metres recorded since a time of the session
// clock: by distance, else by speed; nil without either.
func (c *cutter) wayFrom(from float64) func(to float64) float64 {
	if distance := c.tracks[trial.DistanceM]; distance != nil {
		start := distance.at(from)
		if !units.Known(start) {
			return nil
		}
		return func(to float64) float64 { return distance.at(to) - start }
	}
	if speed := c.tracks[trial.SpeedMps]; speed != nil {
		return func(to float64) float64 {
			mean, _ := speed.mean(from, to)
			return float64(mean * (to - from))
		}
	}
	return nil
}

// at returns the value at a session time on a straight line between the known samples on
// both sides, missing outside of them.
func (t *track) at(time float64) float64 {
	time -= t.offset
	next, _ := slices.BinarySearch(t.elapsed, time)
	for next < len(t.elapsed) && !known(t.values[next]) {
		next++
	}
	if next == len(t.elapsed) {
		return units.Missing
	}
	if t.elapsed[next] == time {
		return t.values[next]
	}
	last := next - 1
	for last >= 0 && !known(t.values[last]) {
		last--
	}
	if last < 0 {
		return units.Missing
	}
	share := (time - t.elapsed[last]) / (t.elapsed[next] - t.elapsed[last])
	return t.values[last] + float64(share*(t.values[next]-t.values[last]))
}
