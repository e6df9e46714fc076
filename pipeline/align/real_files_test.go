package align_test

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"soletrial/pipeline/align"
	"soletrial/pipeline/recording"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

const realFiles = "../../../shared/recordings"

func realFile(t testing.TB, name string) *trial.Samples {
	t.Helper()
	src, err := os.ReadFile(filepath.Join(realFiles, name))
	if err != nil {
		t.Skipf("skipped: the folder of real recordings is not here: %v", err)
	}
	imp, err := recording.Read(name, src, recording.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return imp.Samples
}

func twoWatches(t testing.TB) (first, other *trial.Samples) {
	return realFile(t, "g02_run_two_watches_A_native_power.fit"), realFile(t, "g03_run_two_watches_B.fit")
}

// Two watches worn in one run. Both clocks were set by satellite, and by them the
// second recording starts 2 s after the first (expected.json). The positions of
// both files lie closest together, in the median, when the second is moved by a
// further -0.6 to -0.2 s, so the clocks are right to about half a second.
//
// The cadence says something else: -0.3 s. Its curves lie closest (least mean
// absolute difference, straight lines between the samples, found by a program of
// a few lines outside this module) at 2 - 2.0 = 0.0 s, within what the parts of
// the run scatter. So the second watch shows cadence two seconds late, and what
// is found is the offset of the channel, not that of the clocks; LagAllowanceS is
// from this pair.
func TestTwoWatches(t *testing.T) {
	first, other := twoWatches(t)
	const clocks, closest = 2.0, 0.0
	m, err := align.Find(first, other, clocks)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%+v", m)
	if m.Channel != trial.CadenceSpm || math.Abs(m.OffsetS-closest) > 2*m.StandardErrorS || m.StandardErrorS > 0.25 {
		t.Errorf("offset %.2f +- %.2f s by %s, want %.1f by cadence",
			m.OffsetS, m.StandardErrorS, m.Channel.Info().Label, closest)
	}
	if lag := math.Abs(m.OffsetS - clocks); lag < 1.5 || lag > align.LagAllowanceS {
		t.Errorf("the channel is %.2f s from the clocks; the text above says about 2 s", lag)
	}
	if m.Peak < 0.75 || m.RunnerUp > 0.3 {
		t.Errorf("peak %.2f, runner-up %.2f: this pair leaves no doubt", m.Peak, m.RunnerUp)
	}
}

// The known offset: the pair as it is, with the second clock moved by an amount
// that is known exactly, must give the same offset moved by that amount.
func TestTwoWatchesMovedByAKnownAmount(t *testing.T) {
	first, other := twoWatches(t)
	still, err := align.Find(first, other, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, by := range []float64{1, 0.5, -0.31, 17.25, 133.7, -301.45, 480.9} {
		moved := &trial.Samples{Values: other.Values}
		for _, t := range other.Elapsed {
			moved.Elapsed = append(moved.Elapsed, t-by)
		}
		m, err := align.Find(first, moved, 0)
		if err != nil {
			t.Errorf("moved by %v s: %v", by, err)
			continue
		}
		if got := m.OffsetS - still.OffsetS; math.Abs(got-by) > 0.2 {
			t.Errorf("moved by %v s, found %.3f", by, got)
		}
	}
}

// The same pair, its clock 20 ppm fast or slow and a fifth of its values lost.
func TestTwoWatchesWithDriftAndDropouts(t *testing.T) {
	first, other := twoWatches(t)
	still, err := align.Find(first, other, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, ppm := range []float64{20, -20} {
		bad, chance := &trial.Samples{}, seeded(5)
		for i, t := range other.Elapsed {
			bad.Elapsed = append(bad.Elapsed, (t-90.4)/(1+ppm*1e-6))
			v := other.Values[trial.CadenceSpm][i]
			if chance.Float64() < 0.2 {
				v = units.Missing
			}
			bad.Values[trial.CadenceSpm] = append(bad.Values[trial.CadenceSpm], v)
		}
		m, err := align.Find(first, bad, 0)
		if err != nil {
			t.Errorf("%v ppm: %v", ppm, err)
			continue
		}
		want := still.OffsetS + 90.4 + (2360.0/2-90.4)*ppm*1e-6 // in the middle
		if math.Abs(m.OffsetS-want) > 0.2 {
			t.Errorf("%v ppm: offset %.3f, want %.3f", ppm, m.OffsetS, want)
		}
	}
}

// By speed and heart rate the pair must be refused: two satellite speeds hardly
// agree second by second, and the two heart rates follow the body 22 s apart.
func TestTwoWatchesWithoutCadence(t *testing.T) {
	first, other := twoWatches(t)
	first.Values[trial.CadenceSpm] = nil
	if m, err := align.Find(first, other, 2); err == nil {
		t.Errorf("matched by %s: %+v", m.Channel.Info().Label, m)
	} else {
		t.Log(err)
	}
}
