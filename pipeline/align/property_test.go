package align_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/align"
	"soletrial/pipeline/trial"
)

// Any offset, drift, loss and noise within what watches and foot pods do. The
// oracle is the invention. With the worst of them a tenth of a second is what the
// noise leaves, so that what counts is the standard error that comes with it.
func TestAnyOffsetIsRecovered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		run := wandering(2400, 175, 3, seeded(rapid.Uint64().Draw(t, "run")))
		first := device{channel: trial.CadenceSpm, noise: 1, resolution: 1}
		other := device{
			channel: trial.CadenceSpm,
			begin:   rapid.Float64Range(0, 590).Draw(t, "begin"),
			ppm:     rapid.Float64Range(-50, 50).Draw(t, "ppm"),
			noise:   rapid.Float64Range(0, 1.5).Draw(t, "noise"),
			dropout: rapid.Float64Range(0, 0.3).Draw(t, "dropout"),
		}
		chance := rapid.Uint64().Draw(t, "noise seed")
		m, err := align.Find(first.samples(run, seeded(chance)), other.samples(run, seeded(chance+1)), 0)
		if err != nil {
			t.Fatal(err)
		}
		want := other.begin + (2400-other.begin)/2*other.ppm*1e-6
		if math.Abs(m.OffsetS-want) > 0.2+4*m.StandardErrorS {
			t.Fatalf("offset %.3f +- %.3f s, want %.3f", m.OffsetS, m.StandardErrorS, want)
		}
	})
}

// Where a clock begins to count changes nothing but the offset.
func TestClocksThatCountFromElsewhere(t *testing.T) {
	run := wandering(1800, 175, 3, seeded(7))
	sample := func(later float64, d device, seed uint64) *trial.Samples {
		d.channel = trial.CadenceSpm
		s := d.samples(run, seeded(seed))
		for i := range s.Elapsed {
			s.Elapsed[i] += later
		}
		return s
	}
	want, err := align.Find(sample(0, device{noise: 1}, 8), sample(0, device{noise: 1, begin: 20}, 9), 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range [][2]float64{{20_000, 20_000}, {7200, 0}, {0, 7200}} {
		m, err := align.Find(sample(c[0], device{noise: 1}, 8), sample(c[1], device{noise: 1, begin: 20}, 9), c[0]-c[1])
		if err != nil || m.Parts != want.Parts || math.Abs(m.OffsetS-want.OffsetS-(c[0]-c[1])) > 1e-6 ||
			math.Abs(m.DriftPpm-want.DriftPpm) > 1e-3 || math.Abs(m.StandardErrorS-want.StandardErrorS) > 1e-6 {
			t.Errorf("%v s later: %+v, %v, want %+v", c, m, err, want)
		}
	}
}
