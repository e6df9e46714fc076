package steady

import (
	"math"
	"slices"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Precision is how well the recording knows the mean of one channel over one steady
// window. It is about the measurement within the block alone: how blocks differ is
// the comparison's business.
type Precision struct {
	Samples     int     // valid ones in the window
	Independent float64 // how many independent samples they are worth; missing where that cannot be told
	Error       float64 // standard error of the mean, in the channel's unit
}

// Precisions returns, for every block of a session in block order, the precision
// of the outcomes that are plain means of a recorded channel; the others have no
// samples. Neighbouring samples are alike, so with the autocorrelation rho of one
// sample to the next, as a first-order autoregressive series,
//
//	independent = n / (1 + 2 Σ (1-k/n) rho^k),  error = SD / √independent
//
// (k = 1..n-1; [stats.EffectiveN]), and never more independent samples than there
// are. A channel that does not change at all is worth one sample without error.
func Precisions(ds *trial.Dataset, session *trial.Session,
	recordings []trial.Recording) [][trial.OutcomeCount]Precision {
	tracks := Prepare(ds, recordings)
	cut := tracks.cutter(ds, session)
	blocks := make([][trial.OutcomeCount]Precision, len(session.Blocks))
	for i := range session.Blocks {
		b := &session.Blocks[i]
		for o := range blocks[i] {
			blocks[i][o] = Precision{Independent: units.Missing, Error: units.Missing}
		}
		for _, pair := range trial.ChannelMeans {
			if t := covering(tracks.channels[pair.Channel], b); t != nil {
				from, to := cut.window(b, pair.Channel == trial.HeartRateBpm)
				blocks[i][pair.Outcome] = precisionOf(t.within(from, to))
			}
		}
	}
	return blocks
}

// within returns the valid values in [from, to) of session time.
func (t *track) within(from, to float64) []float64 {
	from, to = from-t.offset, to-t.offset
	elapsed := t.elapsed
	first, _ := slices.BinarySearch(elapsed, from)
	var values []float64
	for i := first; i < len(elapsed) && elapsed[i] < to; i++ {
		if units.Known(t.values[i]) {
			values = append(values, t.values[i])
		}
	}
	return values
}

func precisionOf(values []float64) Precision {
	p := Precision{Samples: len(values), Independent: units.Missing, Error: units.Missing}
	if len(values) < 3 {
		return p
	}
	spread := stats.SD(values)
	if spread == 0 {
		p.Independent, p.Error = 1, 0
		return p
	}
	p.Independent = math.Min(stats.EffectiveN(len(values), stats.Lag1(values)), float64(len(values)))
	p.Error = spread / math.Sqrt(p.Independent)
	return p
}
