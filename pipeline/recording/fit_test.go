package recording_test

import (
	"math"
	"testing"
	"time"

	"soletrial/pipeline/recording"
	"soletrial/pipeline/recording/fittest"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func mustRead(t *testing.T, name string, src []byte, o recording.Options) *recording.Import {
	t.Helper()
	imp, err := recording.Read(name, src, o)
	if err != nil {
		t.Fatal(err)
	}
	return imp
}

// The oracle is the spec itself, which chooses values that FIT stores exactly.
func TestFITReadsBackWhatWasEncoded(t *testing.T) {
	for name, spec := range map[string]fittest.Spec{
		"developer power": {}, "native power": {NativePower: true}, "big endian": {BigEndian: true},
		"compressed timestamps": {NativePower: true, CompressedTimestamp: true}, "no dynamics": {NoDynamics: true,
			NativePower: true},
	} {
		t.Run(name, func(t *testing.T) {
			imp := mustRead(t, "run.fit", fittest.Run(spec), recording.Options{})
			truths := spec.Truths()
			if imp.Format != "fit" || imp.Samples.Len() != len(truths) ||
				!imp.Start.Equal(time.Date(2026, 5, 1, 17, 30, 0, 0, time.UTC)) {
				t.Fatalf("%s with %d samples from %v; want fit with %d",
					imp.Format, imp.Samples.Len(), imp.Start, len(truths))
			}
			for i, want := range truths {
				checkSample(t, imp.Samples, i, want, spec)
			}
			if len(imp.Warnings) != 0 {
				t.Errorf("warnings: %q", imp.Warnings)
			}
		})
	}
}

func checkSample(t *testing.T, s *trial.Samples, i int, want fittest.Truth, spec fittest.Spec) {
	t.Helper()
	near := func(c trial.Channel, want, tolerance float64) {
		t.Helper()
		got := units.Missing
		if s.Values[c] != nil {
			got = s.Values[c][i]
		}
		if units.Known(got) != units.Known(want) || math.Abs(got-want) > tolerance {
			t.Fatalf("%s of sample %d: %v, want %v", c.Info().Column, i, got, want)
		}
	}
	blank := func(v float64) float64 {
		if want.Resting || spec.NoDynamics {
			return units.Missing
		}
		return v
	}
	if s.Elapsed[i] != float64(i) {
		t.Fatalf("sample %d at %v s", i, s.Elapsed[i])
	}
	near(trial.PowerW, want.Power, 0)
	near(trial.SpeedMps, want.Speed, 1e-12)
	near(trial.DistanceM, want.Distance, 0.005+1e-9) // FIT stores centimetres
	near(trial.CadenceSpm, want.Cadence, 0)
	near(trial.StepLengthM, blank(want.StepLength), 1e-12)
	near(trial.ContactMs, blank(want.Contact), 1e-12)
	near(trial.OscillationCm, blank(want.Oscillation), 1e-6) // a float32 in the developer field
	near(trial.HeartRateBpm, want.HeartRate, 0)
}
