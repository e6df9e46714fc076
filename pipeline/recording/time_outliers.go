package recording

import (
	"fmt"
	"math"
	"slices"

	"soletrial/pipeline/units"
)

// maxFromMiddleS is the longest way, in seconds, from the middle sample of a recording to
// any other. A time further off is a clock that was not set yet or a damaged
// byte, not a run of four days.
const maxFromMiddleS = 2 * 86400

// timeOutliers says which of the times lie too far from the middle one, and how many.
// The middle is that of the sorted times, so that it is within the greater part
// wherever the others lie.
func timeOutliers(seconds []float64) (outlier []bool, n int) {
	sorted := slices.DeleteFunc(slices.Clone(seconds), func(s float64) bool { return !units.Known(s) })
	if len(sorted) == 0 {
		return nil, 0
	}
	slices.Sort(sorted)
	middle := sorted[(len(sorted)-1)/2]
	outlier = make([]bool, len(seconds))
	for i, s := range seconds {
		if math.Abs(s-middle) > maxFromMiddleS {
			outlier[i] = true
			n++
		}
	}
	return outlier, n
}

// judgeOutliers warns about samples that were left out, or gives the reason why
// nothing can be read when they are as many as the others.
func (imp *Import) judgeOutliers(n int, seconds []float64) (message string) {
	all := len(seconds)
	switch {
	case n == 0:
		return ""
	case 2*n >= all:
		return "the times of the samples lie up to " + daysApart(seconds) +
			" apart, and no stretch of four days holds most of them"
	}
	imp.warn("%d of %d samples were excluded: their times are more than two days from the others, because of a "+
		"wrong clock or damage",
		n, all)
	return ""
}

// daysApart writes the span of times in days, or in years where it is long.
func daysApart(seconds []float64) string {
	const day, year = 86400, 365.25 * 86400
	least, most := math.Inf(1), math.Inf(-1)
	for _, s := range seconds {
		if units.Known(s) {
			least, most = min(least, s), max(most, s)
		}
	}
	if span := most - least; span < 2*year {
		return fmt.Sprintf("%.0f days", span/day)
	}
	return fmt.Sprintf("%.0f years", (most-least)/year)
}

const outlierHint = "export the recording again, or cut the file into single runs"

// without removes the marked items.
func without[T any](items []T, gone []bool) []T {
	kept := items[:0]
	for i, v := range items {
		if i >= len(gone) || !gone[i] {
			kept = append(kept, v)
		}
	}
	return kept
}
