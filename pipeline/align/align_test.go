package align_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"soletrial/pipeline/align"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// The oracle is the invention itself: two devices sample one run at moments that
// are known. The limit of 0.2 s is what the project asks for.
func TestInventedPairs(t *testing.T) {
	first := device{channel: trial.CadenceSpm, noise: 1, resolution: 1}
	for _, c := range []struct {
		name   string
		other  device
		change func(v invented) invented
		around float64
	}{
		{"same second", device{begin: 60, noise: 1, resolution: 1}, nil, 0},
		{"part of a second", device{begin: 60.37, noise: 1, resolution: 1}, nil, 60},
		{"half a second", device{begin: 12.5, noise: 1, resolution: 2}, nil, 0},
		{"minutes", device{begin: 431.81, noise: 1, resolution: 1}, nil, 0},
		{"at the end of the search", device{begin: 598.2, noise: 1, resolution: 1}, nil, 0},
		{"far, but stated", device{begin: 1500.2, noise: 1, resolution: 1}, nil, 1200},
		{"clock 20 ppm slow", device{begin: 60.37, ppm: 20, noise: 1, resolution: 1}, nil, 0},
		{"clock 20 ppm fast", device{begin: 60.37, ppm: -20, noise: 1, resolution: 1}, nil, 0},
		{"a quarter of the values lost", device{begin: 75.6, noise: 1, dropout: 0.25, resolution: 1}, nil, 0},
		{"noise as large as the signal", device{begin: 75.6, noise: 3, resolution: 1}, nil, 0},
		{"lost, noisy and 20 ppm slow", device{begin: 200.25, ppm: 20, noise: 2, dropout: 0.2, resolution: 2}, nil, 0},
		{"every four seconds", device{begin: 75.6, every: 4, noise: 1, resolution: 1}, nil, 0},
		{
			"alike intervals", device{begin: 75.6, noise: 1, resolution: 1},
			func(v invented) invented { return v.intervals(300, 90) }, 0,
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			run := wandering(3600, 175, 3, seeded(7))
			if c.change != nil {
				run = c.change(run)
			}
			c.other.channel = trial.CadenceSpm
			m, err := align.Find(first.samples(run, seeded(8)), c.other.samples(run, seeded(9)), c.around)
			if err != nil {
				t.Fatal(err)
			}
			want := c.other.begin + float64((3600-c.other.begin)/2*c.other.ppm*1e-6) // in the middle of what they share
			t.Logf("off by %+.3f s, said to be uncertain by %.3f s; peak %.3f, runner-up %.3f at %.0f s; "+
				"drift %.0f +- %.0f ppm from %d parts",
				m.OffsetS-want,
				m.StandardErrorS, m.Peak, m.RunnerUp, m.RunnerUpS, m.DriftPpm, m.DriftStandardError, m.Parts)
			if math.Abs(m.OffsetS-want) > 0.2 || math.Abs(m.OffsetS-want) > 5*m.StandardErrorS {
				t.Errorf("offset %.3f +- %.3f s, want %.3f", m.OffsetS, m.StandardErrorS, want)
			}
			if math.Abs(m.DriftPpm-c.other.ppm) > 4*m.DriftStandardError {
				t.Errorf("drift %.0f +- %.0f ppm, want %.0f", m.DriftPpm, m.DriftStandardError, c.other.ppm)
			}
		})
	}
}

// A drift that shows within an hour is reported as one.
func TestDriftIsMeasured(t *testing.T) {
	run := wandering(3600, 175, 3, seeded(7))
	first := device{channel: trial.CadenceSpm, noise: 0.5}
	other := device{channel: trial.CadenceSpm, noise: 0.5, begin: 30, ppm: 300}
	m, err := align.Find(first.samples(run, seeded(8)), other.samples(run, seeded(9)), 0)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(m.DriftPpm-300) > 60 || m.DriftStandardError > 30 {
		t.Errorf("drift %.0f +- %.0f ppm, want 300", m.DriftPpm, m.DriftStandardError)
	}
}

func TestRefusals(t *testing.T) {
	run := func() invented { return wandering(3600, 175, 3, seeded(7)) }
	constant := make(invented, 3600*perSecond)
	for i := range constant {
		constant[i] = 175
	}
	exact := func(v invented) invented { // every block the same to the digit
		for i := range v {
			if v[i] != 0 {
				v[i] = 175
			}
		}
		return v
	}
	for _, c := range []struct {
		name         string
		a, b         invented
		first, other device
		reason       string
	}{
		{"constant", constant, constant, device{}, device{}, "steady in one of the recordings"},
		{"one constant", run(), constant, device{noise: 1}, device{}, "steady in one of the recordings"},
		{
			"two different runs", run(), wandering(3600, 175, 3, seeded(70)), device{noise: 1}, device{noise: 1},
			"below 0.5",
		},
		{"nothing but noise", constant, constant, device{noise: 1}, device{noise: 1}, "below 0.5"},
		{
			"blocks exactly alike", exact(run().intervals(300, 90)), exact(run().intervals(300, 90)), device{},
			device{begin: 1}, "two offsets fit about as well",
		},
		{"too short", run()[:200*perSecond], run()[:200*perSecond], device{}, device{}, "share less than 300 s"},
		{"out of reach", run(), run(), device{noise: 1}, device{noise: 1, begin: 700}, "below 0.5"},
		{"on the edge", run(), run(), device{noise: 0.2}, device{noise: 0.2, begin: 600.4}, "edge of the search"},
		{"all values lost", run(), run(), device{}, device{dropout: 1}, "share neither"},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.first.channel, c.other.channel = trial.CadenceSpm, trial.CadenceSpm
			_, err := align.Find(c.first.samples(c.a, seeded(8)), c.other.samples(c.b, seeded(9)), 0)
			var refusal *align.Refusal
			if !errors.As(err, &refusal) || !strings.Contains(err.Error(), c.reason) {
				t.Errorf("got %v, want a refusal because of %q", err, c.reason)
			}
		})
	}
}

// Where cadence says nothing the next channel is tried, and the reason is kept.
func TestTheNextChannelIsTried(t *testing.T) {
	pair := func(begin float64, seed uint64) *trial.Samples {
		constant := make(invented, 3600*perSecond)
		s := device{begin: begin, channel: trial.CadenceSpm}.samples(constant, seeded(seed))
		s.Values[trial.HeartRateBpm] = device{begin: begin, noise: 0.5,
			channel: trial.HeartRateBpm}.samples(wandering(3600, 150, 4, seeded(7)), seeded(seed)).
			Values[trial.HeartRateBpm]
		return s
	}
	m, err := align.Find(pair(0, 8), pair(20.6, 9), 0)
	if err != nil {
		t.Fatal(err)
	}
	if m.Channel != trial.HeartRateBpm || math.Abs(m.OffsetS-20.6) > 0.2 {
		t.Errorf("offset %.2f s by %v, want 20.6 by heart rate", m.OffsetS, m.Channel.Info().Label)
	}
	if len(m.Refused) != 1 || m.Refused[0].Channel != trial.CadenceSpm {
		t.Errorf("refused %+v, want cadence alone", m.Refused)
	}
}

// The offset of b to a is that of a to b with the other sign, and what is stated
// before the search does not move what is found.
func TestMatchIsSymmetricAndStable(t *testing.T) {
	run := wandering(2400, 175, 3, seeded(7))
	a := device{channel: trial.CadenceSpm, noise: 1}.samples(run, seeded(8))
	b := device{channel: trial.CadenceSpm, noise: 1, begin: 33.3}.samples(run, seeded(9))
	ab, err := align.Find(a, b, 0)
	if err != nil {
		t.Fatal(err)
	}
	ba, err := align.Find(b, a, 0)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(ab.OffsetS+ba.OffsetS) > 1e-9 {
		t.Errorf("%v one way, %v the other", ab.OffsetS, ba.OffsetS)
	}
	again, err := align.Find(a, b, ab.OffsetS)
	if err != nil || again.OffsetS != ab.OffsetS {
		t.Errorf("%v at first, %v when searched from there (%v)", ab.OffsetS, again.OffsetS, err)
	}
}

// Recordings that no device writes must not hang, panic or be matched.
func TestStrangeRecordings(t *testing.T) {
	good := device{channel: trial.CadenceSpm}.samples(wandering(900, 175, 3, seeded(7)), seeded(8))
	for name, elapsed := range map[string][]float64{
		"empty": {}, "one sample": {5}, "standing still": {1, 1, 1}, "backwards": {9, 5, 1}, "years apart": {0, 3e8,
			6e8}, "beyond any clock": {0, 1e18},
	} {
		s := &trial.Samples{Elapsed: elapsed}
		for range elapsed {
			s.Values[trial.CadenceSpm] = append(s.Values[trial.CadenceSpm], 170)
		}
		if m, err := align.Find(s, good, 0); err == nil {
			t.Errorf("%s: matched: %+v", name, m)
		}
		if m, err := align.Find(good, s, 1e300); err == nil {
			t.Errorf("%s: matched: %+v", name, m)
		}
		if m, err := align.Find(good, s, units.Missing); err == nil {
			t.Errorf("%s: matched: %+v", name, m)
		}
	}
}
