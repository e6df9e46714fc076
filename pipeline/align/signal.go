package align

import (
	"math"
	"slices"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// How a channel is made comparable.
const (
	bridgeS    = 10 // a longer gap between samples is left open
	usualReach = 5  // standard deviations from the median that are usual
	// normalMAD turns the median absolute deviation of normal values into their
	// standard deviation, 1/0.6745 (Hampel 1974, J Am Stat Assoc 69:383).
	normalMAD = 1.4826
	slowS     = 60        // what is slower than about twice this is taken out
	smoothS   = 1         // seconds to both sides that are averaged at the end
	maxSpanS  = 4 * 86400 // a longer recording is not examined beyond this
)

// signal is a channel at every whole second of its recording's own clock.
// Nothing is resampled between two clocks: their fraction of a second is found
// on the peak, so that no offset is smoothed more than another.
type signal struct {
	begin int       // the second of the first value
	value []float64 // 0 where there is none
	known []float64 // 1 where there is a value, else 0
}

// newSignal prepares a channel: whole seconds, unusual values pulled in, slow
// changes taken out (they correlate at any offset), and the noise of single
// seconds smoothed.
func newSignal(s *trial.Samples, c trial.Channel, grain float64) signal {
	begin, values := everySecond(s.Elapsed, s.Values[c])
	winsorise(values, grain)
	slow := movingMean(values, slowS)
	for i := range values {
		values[i] -= slow[i]
	}
	smooth := movingMean(values, smoothS)
	out := signal{begin: begin, value: make([]float64, len(values)), known: make([]float64, len(values))}
	for i := slowS; i < len(values)-slowS; i++ { // nearer to an end the mean is of one side
		if units.Known(values[i]) {
			out.value[i], out.known[i] = smooth[i], 1
		}
	}
	return out
}

// everySecond reads a channel at whole seconds, on the straight line between the
// samples around it. Samples whose clock does not advance are passed over.
func everySecond(elapsed, values []float64) (begin int, out []float64) {
	lastT, lastV := units.Missing, units.Missing
	for i, t := range elapsed {
		v := values[i]
		if !units.Known(v) || math.Abs(t) > 1e9 || t <= lastT {
			continue
		}
		if !units.Known(lastT) {
			begin = int(math.Ceil(t))
			lastT, lastV = t, v
		}
		end := int(math.Floor(t))
		if end-begin >= maxSpanS {
			return begin, out
		}
		for k := begin + len(out); k <= end; k++ {
			out = append(out, between(float64(k), lastT, lastV, t, v))
		}
		lastT, lastV = t, v
	}
	return begin, out
}

// between is the value at time at on the line from (t0, v0) to (t1, v1), missing
// where they lie too far apart.
func between(at, t0, v0, t1, v1 float64) float64 {
	switch {
	case at == t1:
		return v1
	case t1-t0 > bridgeS:
		return units.Missing
	}
	return v0 + float64((v1-v0)*((at-t0)/(t1-t0)))
}

// winsorise moves values that lie far from the usual to the edge of what is usual,
// by the median and the median absolute deviation from it. The rests between
// blocks would else outweigh the running, and one rest looks like the next.
func winsorise(values []float64, grain float64) {
	known := slices.DeleteFunc(slices.Clone(values), func(v float64) bool { return !units.Known(v) })
	if len(known) == 0 {
		return
	}
	middle := stats.Median(known)
	for i, v := range known {
		known[i] = math.Abs(v - middle)
	}
	reach := float64(usualReach * max(float64(normalMAD*stats.Median(known)), grain))
	for i, v := range values {
		if units.Known(v) {
			values[i] = min(max(v, middle-reach), middle+reach)
		}
	}
}

// movingMean is the mean of the known values within so many seconds to both
// sides, missing where there is none.
func movingMean(values []float64, reach int) []float64 {
	sum, n := make([]float64, len(values)+1), make([]int, len(values)+1)
	for i, v := range values {
		sum[i+1], n[i+1] = sum[i], n[i]
		if units.Known(v) {
			sum[i+1], n[i+1] = sum[i]+v, n[i]+1
		}
	}
	out := make([]float64, len(values))
	for i := range out {
		lo, hi := max(0, i-reach), min(len(values), i+reach+1)
		out[i] = (sum[hi] - sum[lo]) / float64(n[hi]-n[lo]) // NaN where there is none
	}
	return out
}

// spread is the standard deviation about zero, 0 where there is no value.
func (s signal) spread() float64 {
	sum, n := 0.0, 0.0
	for i, v := range s.value {
		sum += float64(v * v)
		n += s.known[i]
	}
	if n == 0 {
		return 0
	}
	return math.Sqrt(sum / n)
}
