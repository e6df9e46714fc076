package plaintext

import (
	"bytes"
	"encoding/csv"
	"math/rand/v2"
	"strconv"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// anHour is a recording as a watch and a foot sensor make it together: a sample
// each second for an hour, now and then a blank.
func anHour() *trial.Samples { return syntheticSamples(3600) }

func syntheticSamples(rows int) *trial.Samples {
	random := rand.New(rand.NewPCG(7, 11))
	s := &trial.Samples{}
	for i := range rows {
		s.Elapsed = append(s.Elapsed, float64(i))
	}
	usual := map[trial.Channel]float64{
		trial.PowerW: 270, trial.SpeedMps: 3.7, trial.DistanceM: 4000, trial.CadenceSpm: 180, trial.StepLengthM: 1.23,
		trial.ContactMs: 220, trial.OscillationCm: 7.5, trial.HeartRateBpm: 158,
	}
	for c := range trial.ChannelCount {
		level, recorded := usual[c]
		if !recorded {
			continue
		}
		for range rows {
			value := units.Round(level*(1+random.Float64()/20), c.Info().Decimals)
			if random.IntN(50) == 0 {
				value = units.Missing
			}
			s.Values[c] = append(s.Values[c], value)
		}
	}
	return s
}

func BenchmarkReadSamples(b *testing.B) {
	text := AppendSamples(nil, anHour())
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, problems := ReadSamples(text, "a.csv"); len(problems) > 0 {
			b.Fatal(problems)
		}
	}
}

// BenchmarkReadSamplesEncodingCSV is what the own reader is measured against:
// the standard library's reader, and its number parser into the same columns.
func BenchmarkReadSamplesEncodingCSV(b *testing.B) {
	text := AppendSamples(nil, anHour())
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := readWithEncodingCSV(text); err != nil {
			b.Fatal(err)
		}
	}
}

func readWithEncodingCSV(text []byte) (*trial.Samples, error) {
	reader := csv.NewReader(bytes.NewReader(text))
	reader.ReuseRecord = true
	header, err := reader.Read()
	if err != nil {
		return nil, err
	}
	samples := &trial.Samples{}
	var targets []*[]float64
	rows := bytes.Count(text, []byte{'\n'})
	for _, heading := range header {
		column := target(samples, heading)
		*column = make([]float64, 0, rows)
		targets = append(targets, column)
	}
	for {
		record, err := reader.Read()
		if err != nil {
			return samples, nil // the end, as the benchmark's text has no errors
		}
		for j, cell := range record {
			x := units.Missing
			if cell != "" {
				if x, err = strconv.ParseFloat(cell, 64); err != nil {
					return nil, err
				}
			}
			*targets[j] = append(*targets[j], x)
		}
	}
}

func BenchmarkAppendSamples(b *testing.B) {
	samples := anHour()
	text := AppendSamples(nil, samples)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		text = AppendSamples(text[:0], samples)
	}
}
