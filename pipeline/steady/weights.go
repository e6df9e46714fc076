package steady

import (
	"slices"

	"soletrial/pipeline/trial"
)

// Weight says how much each sample of one recording counts in the mean of one channel over
// the steady window of one block: the mean is the sum of values times seconds over the sum
// of seconds.
type Weight struct {
	Channel trial.Channel
	Samples *trial.Samples // of the recording that the block's channel is taken from
	First   int            // the sample that Seconds[0] belongs to
	Seconds []float64      // 0 where the value is blank or stands for no part of the window
}

// Weights returns, for every block of the session in block order, the weights behind the
// outcomes that are plain means of a channel. A channel that nothing was recorded of has none.
func (t *Tracks) Weights(ds *trial.Dataset, session *trial.Session) [][]Weight {
	cut := t.cutter(ds, session)
	all := make([][]Weight, len(session.Blocks))
	for i := range session.Blocks {
		var s Summary
		cut.block(&session.Blocks[i], i+1, &s)
		for _, pair := range trial.ChannelMeans {
			if track := cut.tracks[pair.Channel]; track != nil {
				w := Weight{Channel: pair.Channel, Samples: track.samples}
				from, to := s.windowOf(pair.Channel)
				w.First, w.Seconds = track.weights(from, to)
				all[i] = append(all[i], w)
			}
		}
	}
	return all
}

// weights returns what each sample from the first on counts for in the mean over [from, to]
// of session time. It visits the samples as [track.mean] does, those of a recording whose
// time goes back too.
func (t *track) weights(from, to float64) (first int, seconds []float64) {
	from, to = from-t.offset, to-t.offset
	found, _ := slices.BinarySearch(t.elapsed, from)
	first = max(found-1, 0)
	for i := first; i < len(t.elapsed) && t.elapsed[i] < to; {
		end := t.upTo(i)
		for ; i < end && t.elapsed[i] < to; i++ {
			counts := min(t.elapsed[i]+t.stands[i], to) - max(t.elapsed[i], from)
			if counts <= 0 || !known(t.values[i]) {
				counts = 0
			}
			seconds = append(seconds, counts)
		}
		for ; i < end; i++ {
			seconds = append(seconds, 0)
		}
	}
	return first, seconds
}
