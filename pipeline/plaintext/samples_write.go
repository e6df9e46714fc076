package plaintext

import (
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// AppendSamples appends a recording in canonical form: elapsed_s, then the
// channels that hold at least one value in their fixed order, each with its own
// decimals, a blank for a missing value. The order of the samples is kept.
func AppendSamples(dst []byte, s *trial.Samples) []byte {
	columns, decimals := [][]float64{s.Elapsed}, []int{trial.ElapsedDecimals}
	dst = append(dst, trial.ElapsedColumn...)
	for c := range trial.ChannelCount {
		if !s.Has(c) {
			continue
		}
		columns, decimals = append(columns, s.Values[c]), append(decimals, c.Info().Decimals)
		dst = append(append(dst, ','), c.Info().Column...)
	}
	dst = append(dst, '\n')
	for i := range s.Len() {
		for j, column := range columns {
			if j > 0 {
				dst = append(dst, ',')
			}
			dst = units.AppendDecimal(dst, column[i], decimals[j])
		}
		dst = append(dst, '\n')
	}
	return dst
}
