package figure

import (
	"math"
	"slices"

	"soletrial/pipeline/units"
)

// scale maps a value from lo..hi to a place from..to.
type scale struct {
	lo, hi, from, to float64
}

func (s scale) at(v float64) float64 {
	if s.hi == s.lo {
		return (s.from + s.to) / 2
	}
	return s.from + float64((v-s.lo)/(s.hi-s.lo)*(s.to-s.from))
}

// clamp returns the place of the nearest value on the scale, and whether v was beyond it.
func (s scale) clamp(v float64) (place float64, beyond bool) {
	return s.at(math.Min(math.Max(v, s.lo), s.hi)), v < s.lo || v > s.hi
}

// tenths holds the powers of ten that ticks may be divided by.
var tenths = [...]float64{1, 10, 100, 1000, 10000}

// ticks returns at most the given number of round values within lo..hi, a step
// of 1, 2 or 5 times a power of ten apart, and the decimals they need.
func ticks(lo, hi float64, most int) (values []float64, decimals int) {
	if !(hi > lo) || math.IsInf(hi-lo, 0) {
		return []float64{lo}, 1
	}
	for _, divisor := range slices.Backward(tenths[:]) {
		for _, step := range []float64{1, 2, 5} {
			if values = multiples(lo, hi, step, divisor, most); values != nil {
				return values, decimalsFor(divisor)
			}
		}
	}
	for step := 10.0; ; step = float64(step * 10) {
		for _, times := range []float64{1, 2, 5} {
			if values = multiples(lo, hi, float64(step*times), 1, most); values != nil {
				return values, 0
			}
		}
	}
}

// multiples lists the multiples of step/divisor within lo..hi, or nothing when
// there are more than most.
func multiples(lo, hi, step, divisor float64, most int) []float64 {
	first, last := math.Ceil(lo*divisor/step), math.Floor(hi*divisor/step)
	if last-first >= float64(most) {
		return nil
	}
	values := []float64{}
	for k := first; k <= last; k++ {
		values = append(values, k*step/divisor)
	}
	return values
}

func decimalsFor(divisor float64) int { return slices.Index(tenths[:], divisor) }

// domain returns the stretch of values that a figure of the given estimates
// shows: zero, every estimate, and the intervals, unless one is so wide that the
// others could not be read beside it; that one is drawn with an arrow.
func domain(estimates []Estimate) (lo, hi float64) {
	var halves []float64
	for _, e := range estimates {
		if units.Known(e.Value) {
			lo, hi = math.Min(lo, e.Value), math.Max(hi, e.Value)
		}
		if e.Bounded() {
			halves = append(halves, (e.High-e.Low)/2)
		}
	}
	reach := maxReach(lo, hi, halves)
	low, high := lo-reach, hi+reach
	for _, e := range estimates {
		if e.Bounded() {
			lo, hi = math.Min(lo, math.Max(e.Low, low)), math.Max(hi, math.Min(e.High, high))
		}
	}
	if lo == hi {
		lo, hi = lo-1, hi+1
	}
	margin := (hi - lo) / 20
	return lo - margin, hi + margin
}

// maxReach is how far beyond the estimates an interval may stretch the scale: four
// times the middle half-width or twice the spread of the estimates.
func maxReach(lo, hi float64, halves []float64) float64 {
	if len(halves) == 0 {
		return 0
	}
	slices.Sort(halves)
	return math.Max(float64(4*halves[(len(halves)-1)/2]), float64(2*(hi-lo)))
}
