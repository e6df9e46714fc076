package steady

import (
	"slices"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// track is one channel of one recording on the session clock. It remembers what
// its runs came to, and so it is for one goroutine at a time.
type track struct {
	elapsed, values []float64
	stands          []float64 // seconds that each sample stands for; shared by the channels of a recording
	offset          float64
	samples         *trial.Samples // that it is a channel of
	runs            []run          // made when a window is first examined
	base            float64        // see origin
	based           bool
}

// known reports whether x is a number; the loops over all samples run by it.
func known(x float64) bool { return x == x }

// Sources returns, for each channel, the recording it is taken from first: the one
// whose device the method names, otherwise the first listed that has it; nil where
// no recording has the channel.
func Sources(method trial.Method, recordings []trial.Recording) [trial.ChannelCount]*trial.Recording {
	var sources [trial.ChannelCount]*trial.Recording
	for c := range trial.ChannelCount {
		if ordered := inOrder(method, recordings, c); len(ordered) > 0 {
			sources[c] = ordered[0]
		}
	}
	return sources
}

// inOrder lists the recordings that have a channel: those of the device that the
// method names, then the others, each as listed.
func inOrder(method trial.Method, recordings []trial.Recording, c trial.Channel) (ordered []*trial.Recording) {
	wanted := method.Channels[c.Info().Column]
	for _, named := range []bool{true, false} {
		for i := range recordings {
			r := &recordings[i]
			if r.Samples != nil && (wanted != "" && r.Fact.Device == wanted) == named && r.Samples.Has(c) {
				ordered = append(ordered, r)
			}
		}
	}
	return ordered
}

// minCover is the share of a block that a recording must cover to be taken for it
// before another one. An engineering choice.
const minCover = 0.5

// covering is the first of the tracks, in their order, that covers most of a block, or
// where none does the one that covers most; nil without tracks.
func covering(tracks []*track, b *trial.Block) *track {
	if len(tracks) < 2 {
		if len(tracks) == 0 {
			return nil
		}
		return tracks[0]
	}
	best, most := tracks[0], 0.0
	for _, t := range tracks {
		_, covered := t.mean(b.Start, b.End)
		if covered >= float64(minCover*b.Duration()) {
			return t
		}
		if covered > most {
			best, most = t, covered
		}
	}
	return best
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
	slices.Sort(steps)
	return (steps[(len(steps)-1)/2] + steps[len(steps)/2]) / 2
}

// standing returns the seconds that each sample stands for: the time until the
// next one, or the typical step before a gap and at the end, never beyond the next.
func standing(s *trial.Samples, gap float64) []float64 {
	stands, typical := make([]float64, s.Len()), TypicalStep(s)
	for i := range stands {
		stands[i] = typical
		if i+1 < s.Len() {
			if step := s.Elapsed[i+1] - s.Elapsed[i]; !(step > gap) || step < typical {
				stands[i] = step
			}
		}
	}
	return stands
}

// mean returns the time-weighted mean over [from, to] of session time and the
// seconds covered by valid samples.
func (t *track) mean(from, to float64) (mean, covered float64) {
	from, to = from-t.offset, to-t.offset
	weighted, end := 0.0, 0
	first, _ := slices.BinarySearch(t.elapsed, from)
	for i := max(first-1, 0); i < len(t.elapsed) && t.elapsed[i] < to; i = end {
		end = t.upTo(i)
		var sum timed
		if r := t.inside(i, from, to); r != nil {
			sum = r.sum
		} else {
			sum = t.sum(i, end, from, to)
		}
		weighted += sum.weighted
		covered += sum.seconds
	}
	if covered == 0 {
		return units.Missing, 0
	}
	return weighted / covered, covered
}

// change returns last minus first known value in [from, to] and the time
// between them: a distance covered.
func (t *track) change(from, to float64) (change, seconds float64) {
	from, to = from-t.offset, to-t.offset
	first, _ := slices.BinarySearch(t.elapsed, from)
	end, _ := slices.BinarySearch(t.elapsed, to)
	for end < len(t.elapsed) && t.elapsed[end] <= to {
		end++
	}
	for first < end && !known(t.values[first]) {
		first++
	}
	for end > first && !known(t.values[end-1]) {
		end--
	}
	if last := end - 1; last > first {
		return t.values[last] - t.values[first], t.elapsed[last] - t.elapsed[first]
	}
	return units.Missing, 0
}
