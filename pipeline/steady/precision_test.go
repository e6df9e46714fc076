package steady

import (
	"math"
	"math/rand/v2"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// By hand: 1 2 3 4 has rho 0.25 (see stats.Lag1), so it is worth
// 4/(1 + 2(0.75·0.25 + 0.5·0.0625 + 0.25·0.015625)) = 2.7676 samples; its standard
// deviation is √(5/3), so the error is 0.776024. 1 -1 1 -1 has rho -0.75 and would be
// worth more than four.
func TestPrecisionByHand(t *testing.T) {
	for _, c := range []struct {
		values             []float64
		independent, error float64
	}{
		{[]float64{1, 2, 3, 4}, 2.767568, 0.776024}, {[]float64{1, -1, 1, -1}, 4, 0.577350}, {[]float64{5, 5, 5}, 1, 0},
		{[]float64{1, 2}, units.Missing, units.Missing}, {nil, units.Missing, units.Missing},
	} {
		got := precisionOf(c.values)
		if got.Samples != len(c.values) || !close6(got.Independent, c.independent) || !close6(got.Error, c.error) {
			t.Errorf("%v: %+v, want %v and %v", c.values, got, c.independent, c.error)
		}
	}
}

func close6(got, want float64) bool {
	return math.IsNaN(got) && math.IsNaN(want) || math.Abs(got-want) < 1e-6
}

// Simulation: of a made autoregressive series with known mean, the error is about
// the standard deviation of the mean from series to series, and one that took the
// samples for independent would be less than half of it.
func TestPrecisionIsTheSpreadOfMeans(t *testing.T) {
	const n, series, rho = 300, 400, 0.7
	chance := rand.New(rand.NewPCG(1, 2))
	sumSquares, sumErrors, sumNaive := 0.0, 0.0, 0.0
	for range series {
		values, x := make([]float64, n), chance.NormFloat64()/math.Sqrt(1-rho*rho)
		mean := 0.0
		for i := range values {
			x = rho*x + chance.NormFloat64()
			values[i] = x
			mean += x / n
		}
		p := precisionOf(values)
		sumSquares += mean * mean
		sumErrors += p.Error * p.Error
		sumNaive += p.Error * p.Error * p.Independent / n
	}
	if ratio := math.Sqrt(sumErrors / sumSquares); ratio < 0.9 || ratio > 1.1 {
		t.Errorf("the error is %.3f of the spread of the means", ratio)
	}
	if ratio := math.Sqrt(sumNaive / sumSquares); ratio > 0.5 {
		t.Errorf("independent samples would give %.3f", ratio)
	}
}

func TestPrecisionsOfASession(t *testing.T) {
	ds := &trial.Dataset{Facts: trial.DatasetFacts{Method: trial.DefaultMethod(), Limits: trial.DefaultLimits()}}
	session := &trial.Session{Facts: trial.SessionFacts{Effort: "power"},
		Blocks: []trial.Block{{Start: 0, End: 300}, {Start: 1000, End: 1300}}}
	samples := &trial.Samples{}
	for s := range 400 {
		samples.Elapsed = append(samples.Elapsed, float64(s))
		samples.Values[trial.SpeedMps] = append(samples.Values[trial.SpeedMps], 4+float64(s%3)/10)
		samples.Values[trial.HeartRateBpm] = append(samples.Values[trial.HeartRateBpm], 150)
	}
	samples.Values[trial.SpeedMps][100] = units.Missing
	got := Precisions(ds, session, []trial.Recording{{Fact: trial.RecordingFact{OffsetS: units.Missing},
		Samples: samples}})
	// The steady window is 60 to 285 s, for heart rate 180 to 285 s.
	if p := got[0][trial.Speed]; p.Samples != 224 || !(p.Error > 0 && p.Error < 0.1) {
		t.Errorf("speed %+v", p)
	}
	if p := got[0][trial.Heart]; p.Samples != 105 || p.Error != 0 || p.Independent != 1 {
		t.Errorf("heart rate %+v", p)
	}
	if p := got[0][trial.MeanPower]; p.Samples != 0 || units.Known(p.Error) {
		t.Errorf("a channel that was not recorded: %+v", p)
	}
	if p := got[1][trial.Speed]; p.Samples != 0 || units.Known(p.Error) {
		t.Errorf("a block outside the recording: %+v", p)
	}
	for _, none := range Precisions(ds, session, nil) {
		if none[trial.Speed].Samples != 0 || units.Known(none[trial.Speed].Error) {
			t.Errorf("no recording: %+v", none[trial.Speed])
		}
	}
}
