package quality

import (
	"slices"

	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Screening lists where in a session's samples a rule could find something, whatever
// the trim. It is done once; under every trim the rules then inspect the blocks that
// contain such a place, and no other.
type Screening struct {
	recordings     []trial.Recording
	sources        [trial.ChannelCount]*trial.Recording
	back, repeated []places // of each recording: samples not later than the one before
	gaps           []places // of each recording: samples after a gap
	falls          places   // of the distance
	frozen, spikes [trial.ChannelCount]places
	strays         [trial.ChannelCount]places
}

// places are places in a recording, counted from 0 and ascending.
type places []int

// within reports whether one of the places lies in [first, end).
func (p places) within(first, end int) bool {
	i, _ := slices.BinarySearch(p, first)
	return i < len(p) && p[i] < end
}

// where lists the places from first on, of n, that a test holds for.
func where(first, n int, test func(i int) bool) places {
	var found places
	for i := first; i < n; i++ {
		if test(i) {
			found = append(found, i)
		}
	}
	return found
}

// Screen screens a session's recordings under the dataset's method and limits.
func Screen(ds *trial.Dataset, recordings []trial.Recording) *Screening {
	s := &Screening{recordings: recordings, sources: steady.Sources(ds.Facts.Method, recordings)}
	limits := &ds.Facts.Limits
	// Times of each recording.
	for i := range recordings {
		elapsed, offset := recordings[i].Samples.Elapsed, recordings[i].Offset()
		s.back = append(s.back, where(1, len(elapsed), func(i int) bool { return elapsed[i]-elapsed[i-1] < 0 }))
		s.repeated = append(s.repeated, where(1, len(elapsed),
			func(i int) bool { return elapsed[i]-elapsed[i-1] == 0 }))
		s.gaps = append(s.gaps, where(1, len(elapsed),
			func(i int) bool { return (elapsed[i]+offset)-(elapsed[i-1]+offset) > limits.GapS }))
	}
	// Distance, which only grows.
	if r := s.sources[trial.DistanceM]; r != nil {
		last := units.Missing
		s.falls = where(0, r.Samples.Len(), func(i int) bool {
			v, before := r.Samples.Values[trial.DistanceM][i], last
			if units.Known(v) {
				last = v
			}
			return v < before
		})
	}
	// Values of each channel.
	for _, pair := range trial.ChannelMeans {
		if r := s.sources[pair.Channel]; r != nil {
			s.channel(pair.Channel, r.Samples.Elapsed, r.Samples.Values[pair.Channel], limits)
		}
	}
	return s
}

// channel screens one channel for what the rules about single samples look for.
func (s *Screening) channel(channel trial.Channel, elapsed, values []float64, limits *trial.Limits) {
	// since the earliest time of the samples that read the same
	since, longest := units.Missing, frozenLimit(limits, channel)
	s.frozen[channel] = where(0, len(values), func(i int) bool {
		if i == 0 || values[i] != values[i-1] || elapsed[i]-elapsed[i-1] > limits.GapS {
			since = elapsed[i]
		}
		since = min(since, elapsed[i])
		return elapsed[i]-since > longest
	})
	bounds := limits.Ranges[channel.Info().Column].Stop
	s.spikes[channel] = where(1, len(values)-1, func(i int) bool {
		_, _, found := spike(elapsed, values, i, limits, bounds)
		return found
	})
	if len(bounds) == 2 {
		s.strays[channel] = where(0, len(values),
			func(i int) bool { return values[i] < bounds[0] || values[i] > bounds[1] })
	}
}
