package segment

import (
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// A table of laps has one sample at the start of each lap with its means, and one without
// values at the end of the last.

// LapSamples are the means of a table of laps as if they had been recorded every second, to
// find blocks by. They are no recording.
func LapSamples(table *trial.Samples) *trial.Samples {
	s := &trial.Samples{}
	for i := range table.Len() - 1 {
		for t := table.Elapsed[i]; t < table.Elapsed[i+1]; t++ {
			s.Elapsed = append(s.Elapsed, t)
			for _, c := range held {
				if values := table.Values[c]; values != nil {
					s.Values[c] = append(s.Values[c], values[i])
				}
			}
		}
	}
	return s
}

// MeasureByLaps writes into blocks the means of the laps that they are made of, weighted by
// the time that block and lap share. What the table does not have stays as it is.
func MeasureByLaps(blocks []trial.Block, table *trial.Samples) {
	for i := range blocks {
		for m := range trial.MeasureCount {
			for _, pair := range trial.ChannelMeans {
				if values := table.Values[pair.Channel]; pair.Outcome == m.Outcome() && values != nil {
					measure(&blocks[i], m, table.Elapsed, values)
				}
			}
		}
	}
}

// measure writes one mean into a block, by laps that start at the times given, the last
// of which ends them.
func measure(b *trial.Block, m trial.Measure, starts, values []float64) {
	sum, seconds := 0.0, 0.0
	for k := range len(starts) - 1 {
		shared := min(b.End, starts[k+1]) - max(b.Start, starts[k])
		if shared > 0 && units.Known(values[k]) {
			sum, seconds = sum+float64(values[k]*shared), seconds+shared
		}
	}
	if seconds > 0 {
		b.Measured[m] = units.Round(sum/seconds, 4)
	}
}
