package steady

import (
	"slices"
	"sort"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// track is one channel of one recording on the session clock.
type track struct {
	samples *trial.Samples
	values  []float64
	offset  float64
	typical float64 // median time between samples, s
	gap     float64 // longest time between samples that is not a gap, s
}

// Sources returns, for each channel, the recording it is taken from: the one
// whose device the method names, otherwise the first listed that has it; nil
// where no recording has the channel.
func Sources(method trial.Method, recordings []trial.Recording) [trial.ChannelCount]*trial.Recording {
	var sources [trial.ChannelCount]*trial.Recording
	for c := range trial.ChannelCount {
		wanted := method.Channels[c.Info().Column]
		for i := range recordings {
			r := &recordings[i]
			if r.Samples == nil || !r.Samples.Has(c) {
				continue
			}
			if sources[c] == nil || wanted != "" && r.Fact.Device == wanted && sources[c].Fact.Device != wanted {
				sources[c] = r
			}
		}
	}
	return sources
}

func newTrack(r *trial.Recording, c trial.Channel, typical, gap float64) *track {
	return &track{samples: r.Samples, values: r.Samples.Values[c], offset: r.Offset(), typical: typical, gap: gap}
}

// TypicalStep returns the median time between neighbouring samples, s; 0 for
// fewer than two samples.
func TypicalStep(s *trial.Samples) float64 {
	if s.Len() < 2 {
		return 0
	}
	steps, even := make([]float64, s.Len()-1), true
	for i := range steps {
		steps[i] = s.Elapsed[i+1] - s.Elapsed[i]
		even = even && steps[i] == steps[0]
	}
	if even { // as most recordings are: nothing to sort
		return steps[0]
	}
	sort.Float64s(steps)
	return (steps[(len(steps)-1)/2] + steps[len(steps)/2]) / 2
}

// mean returns the time-weighted mean over [from, to] of session time and the
// seconds covered by valid samples. A sample stands for the time until the
// next one, or for the typical step before a gap and at the end.
func (t *track) mean(from, to float64) (mean, covered float64) {
	from, to = from-t.offset, to-t.offset
	elapsed := t.samples.Elapsed
	first, _ := slices.BinarySearch(elapsed, from-t.gap)
	sum := 0.0
	for i := first; i < len(elapsed) && elapsed[i] < to; i++ {
		if !units.Known(t.values[i]) {
			continue
		}
		begin, end := elapsed[i], elapsed[i]+t.stands(i)
		if begin < from {
			begin = from
		}
		if end > to {
			end = to
		}
		if held := end - begin; held > 0 {
			sum += float64(t.values[i] * held)
			covered += held
		}
	}
	if covered == 0 {
		return units.Missing, 0
	}
	return sum / covered, covered
}

// stands returns the seconds that sample i stands for.
func (t *track) stands(i int) float64 {
	if i+1 == len(t.samples.Elapsed) {
		return t.typical
	}
	step := t.samples.Elapsed[i+1] - t.samples.Elapsed[i]
	if step > t.gap {
		return t.typical
	}
	return step
}

// change returns last minus first known value in [from, to] and the time
// between them: a distance covered.
func (t *track) change(from, to float64) (change, seconds float64) {
	from, to = from-t.offset, to-t.offset
	first, last := -1, -1
	start, _ := slices.BinarySearch(t.samples.Elapsed, from)
	for i := start; i < t.samples.Len() && t.samples.Elapsed[i] <= to; i++ {
		if !units.Known(t.values[i]) {
			continue
		}
		if first < 0 {
			first = i
		}
		last = i
	}
	if first < 0 || first == last {
		return units.Missing, 0
	}
	return t.values[last] - t.values[first], t.samples.Elapsed[last] - t.samples.Elapsed[first]
}
