package steady

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Values times weights over weights is the mean, whatever the window cuts and wherever the
// recording has gaps, blanks or a time that goes back.
func TestWeightsMakeTheMean(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		track := patchy(t)
		if rapid.Bool().Draw(t, "goes back") && len(track.elapsed) > 3 {
			i := rapid.IntRange(1, len(track.elapsed)-1).Draw(t, "where")
			track.elapsed[i] = track.elapsed[i-1] - 2
		}
		from := rapid.Float64Range(-10, 600).Draw(t, "from")
		to := from + rapid.Float64Range(-10, 600).Draw(t, "length")
		mean, covered := track.mean(from, to)
		first, weights := track.weights(from, to)
		sum, seconds := 0.0, 0.0
		for i, w := range weights {
			if w < 0 || w > 0 && !known(track.values[first+i]) {
				t.Fatalf("sample %d of value %v counts for %v s", first+i, track.values[first+i], w)
			}
			if w > 0 {
				sum += track.values[first+i] * w
				seconds += w
			}
		}
		if math.Abs(seconds-covered) > 1e-9 || covered > 0 && math.Abs(sum/seconds-mean) > 1e-9 {
			t.Fatalf("over %v to %v: %v of %v s, want %v of %v s", from, to, sum/seconds, seconds, mean, covered)
		}
	})
}

// Worked by hand: samples every second from 0 with values 0, 1, 2 and so on; the block from
// 2.5 s to 10 s keeps 3.5 s to 8 s after a trim of 1 s and 2 s.
func TestWeightsByHand(t *testing.T) {
	ds, session, recordings := steadyRun(12, func(t float64) float64 { return t })
	ds.Facts.Method.Trim = trial.Trim{HeadS: 1, TailS: 2, HeartRateHeadS: units.Missing}
	addBlock(session, 2.5, 10)
	blocks := Prepare(ds, recordings).Weights(ds, session)
	if len(blocks) != 1 {
		t.Fatalf("weights of %d blocks", len(blocks))
	}
	for _, w := range blocks[0] {
		if w.Channel != trial.SpeedMps {
			continue
		}
		got := map[int]float64{}
		for i, s := range w.Seconds {
			if s > 0 {
				got[w.First+i] = s
			}
		}
		want := map[int]float64{3: 0.5, 4: 1, 5: 1, 6: 1, 7: 1}
		for i, s := range want {
			if math.Abs(got[i]-s) > 1e-12 {
				t.Errorf("sample %d counts for %v s, want %v", i, got[i], s)
			}
		}
		if len(got) != len(want) || w.Samples != recordings[0].Samples {
			t.Errorf("weights %v of the recording at %p", got, w.Samples)
		}
		return
	}
	t.Error("no weights of the speed")
}
