package segment_test

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"soletrial/pipeline/recording"
	"soletrial/pipeline/recording/segment"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// leg is a time at one effort; a leg at Missing has no samples at all.
type leg struct{ seconds, level float64 }

// run invents samples of the legs, one a second, with normal noise that lasts
// some seconds as a runner's wavering does.
func run(c trial.Channel, noise float64, legs ...leg) *trial.Samples {
	chance, s, t, waver := rand.New(rand.NewPCG(3, 4)), &trial.Samples{}, 0.0, 0.0
	for _, l := range legs {
		for range int(l.seconds) {
			waver += -waver/5 + noise*chance.NormFloat64()*math.Sqrt(0.36)
			if units.Known(l.level) {
				s.Elapsed = append(s.Elapsed, t)
				s.Values[c] = append(s.Values[c], max(0, l.level+waver))
			}
			t++
		}
	}
	return s
}

// The oracle is the invention: where its legs begin and end.
func TestCutFindsTheLegs(t *testing.T) {
	session := []leg{{600, 190}, {330, 270}, {150, 40}, {330, 270}, {150, 40}, {330, 265}, {150, 40}, {330, 270}, {400, 180}}
	tired := []leg{{300, 270}, {90, 60}, {100, 270}, {100, 260}, {100, 250}, {100, 245}}
	for _, c := range []struct {
		name    string
		channel trial.Channel
		scale   float64
		noise   float64
		legs    []leg
		want    []float64 // the seconds at which the stretches begin and end
	}{
		{"steady power", trial.PowerW, 1, 6, session, []float64{0, 600, 930, 1080, 1410, 1560, 1890, 2040, 2370, 2770}},
		{"wavering power", trial.PowerW, 1, 15, session, []float64{0, 600, 930, 1080, 1410, 1560, 1890, 2040, 2370, 2770}},
		{"speed", trial.SpeedMps, 1.0 / 66, 0.1, session, []float64{0, 600, 930, 1080, 1410, 1560, 1890, 2040, 2370, 2770}},
		{"two targets", trial.PowerW, 1, 6, []leg{{300, 220}, {300, 270}}, []float64{0, 300, 600}},
		{"one that tires is one", trial.PowerW, 1, 6, tired, []float64{0, 300, 390, 790}},
		{"a burst and a stop of 6 s are not cut", trial.PowerW, 1, 3, []leg{{200, 250}, {6, 330}, {200, 250}, {6, 100}, {200, 250}}, []float64{0, 612}},
		{"nothing but one effort", trial.PowerW, 1, 20, []leg{{1800, 250}}, []float64{0, 1800}},
		{"all zero", trial.PowerW, 1, 0, []leg{{600, 0}}, []float64{0, 600}},
		{"a gap", trial.PowerW, 1, 3, []leg{{300, 250}, {60, units.Missing}, {300, 250}}, []float64{0, 299, 360, 660}},
	} {
		t.Run(c.name, func(t *testing.T) {
			for i := range c.legs {
				c.legs[i].level *= c.scale
			}
			channel, got := segment.Cut(run(c.channel, c.noise, c.legs...))
			if channel != c.channel {
				t.Errorf("cut by %s", channel.Info().Label)
			}
			var at []float64
			for _, s := range got {
				if len(at) == 0 || s.StartS != at[len(at)-1] {
					at = append(at, s.StartS)
				}
				at = append(at, s.EndS)
			}
			if len(at) != len(c.want) {
				t.Fatalf("cut at %v, want %v", at, c.want)
			}
			for i := range at {
				if math.Abs(at[i]-c.want[i]) > 4 {
					t.Errorf("cut at %v, want %v within 4 s", at, c.want)
				}
			}
			for i := range c.legs {
				c.legs[i].level /= c.scale
			}
		})
	}
}

// Four intervals of 1000 m with laps pressed by the runner: the oracle is the
// device's laps. The runner presses after stopping, hence 8 s.
func TestCutAgreesWithTheLapsOfARealSession(t *testing.T) {
	const name = "g01_run_intervals_dynamics_footpod.fit"
	src, err := os.ReadFile(filepath.Join("../../../../shared/recordings", name))
	if err != nil {
		t.Skipf("skipped: the folder of real recordings is not here: %v", err)
	}
	imp, err := recording.Read(name, src, recording.Options{})
	if err != nil {
		t.Fatal(err)
	}
	_, stretches := segment.Cut(imp.Samples)
	blocks := segment.Propose(trial.PowerW, stretches, trial.Session{})
	intervals := 0
	for _, lap := range imp.Laps {
		if lap.DistanceM != 1000 {
			continue
		}
		if b := blocks[intervals]; math.Abs(b.End-lap.EndS) > 8 || intervals > 0 && math.Abs(b.Start-lap.StartS) > 8 || b.Excluded {
			t.Errorf("interval %d: block %v to %v (%s), lap %v to %v", intervals+1, b.Start, b.End, b.Reason, lap.StartS, lap.EndS)
		}
		intervals++
	}
	if intervals != 4 || len(blocks) != 5 || !blocks[4].Excluded {
		t.Errorf("%d intervals, blocks %+v; want 4 and the run home proposed as excluded", intervals, blocks)
	}
}

func TestPropose(t *testing.T) {
	stretches := []segment.Stretch{{0, 600, 190}, {600, 930, 270}, {930, 1080, 40}, {1080, 1410, 268}, {1410, 1470, 0}, {1470, 1800, 250}, {1800, 2700, 262}}
	for _, c := range []struct {
		name     string
		blockS   float64
		starts   []float64
		included int
	}{
		{"no protocol: the rest of 150 s is long enough, but easy", 0, []float64{0, 600, 930, 1080, 1470, 1800}, 4},
		{"blocks of 330 s: the rest is too short, the last too long", 330, []float64{0, 600, 1080, 1470, 1800}, 3},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := trial.Session{}
			s.Facts.Protocol.BlockS = c.blockS
			blocks, included := segment.Propose(trial.PowerW, stretches, s), 0
			if len(blocks) != len(c.starts) {
				t.Fatalf("%d blocks, want %d", len(blocks), len(c.starts))
			}
			for i, b := range blocks {
				if b.Start != c.starts[i] || b.Shoe != "" || units.Known(b.DistanceM) || b.Excluded != (b.Reason != "") || !strings.HasPrefix(b.Note, "found by power, ") {
					t.Errorf("block %d: %+v", i+1, b)
				}
				if !b.Excluded {
					included++
				}
			}
			if included != c.included {
				t.Errorf("%d included, want %d", included, c.included)
			}
		})
	}
}

func TestCutOfStrangeRecordings(t *testing.T) {
	for name, s := range map[string]*trial.Samples{
		"empty": {}, "no effort": run(trial.CadenceSpm, 1, leg{300, 170}), "one sample": run(trial.PowerW, 0, leg{1, 200}),
		"all lost": run(trial.PowerW, 0, leg{50, units.Missing}),
	} {
		if _, got := segment.Cut(s); len(got) != 0 {
			t.Errorf("%s: %+v", name, got)
		}
	}
	s := run(trial.PowerW, 5, leg{300, 250})
	s.Elapsed[100], s.Elapsed[200], s.Elapsed[299] = 3e8, 5, 1e15 // clocks that jump
	if _, got := segment.Cut(s); len(got) == 0 {
		t.Error("clocks that jump: nothing is left")
	}
	long := run(trial.PowerW, 5, leg{5 * 86400, 250})
	for _, got := range func() []segment.Stretch { _, got := segment.Cut(long); return got }() {
		if got.EndS-got.StartS > 4*86400+1 {
			t.Errorf("a stretch of %v s", got.EndS-got.StartS)
		}
	}
}

func BenchmarkCutHour(b *testing.B) {
	s := run(trial.PowerW, 10, leg{600, 190}, leg{330, 270}, leg{150, 40}, leg{330, 270}, leg{150, 40}, leg{2040, 180})
	b.ReportAllocs()
	for b.Loop() {
		segment.Cut(s)
	}
}
