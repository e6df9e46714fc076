package steady

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// patchy draws a track of several runs, with gaps, blanks and uneven steps.
func patchy(t *rapid.T) *track {
	s := &trial.Samples{}
	at := 0.0
	for range rapid.IntRange(0, 5*runLength).Draw(t, "samples") {
		at += rapid.SampledFrom([]float64{0.1, 1, 1, 1, 1.3, 2, 30}).Draw(t, "step")
		s.Elapsed = append(s.Elapsed, at)
	}
	values := make([]float64, s.Len())
	for i := range values {
		values[i] = rapid.SampledFrom([]float64{240, 250.5, 251.25, 260, 0, units.Missing}).Draw(t, "value")
	}
	return &track{elapsed: s.Elapsed, values: values, stands: standing(s, 5), offset: 7}
}

// uncached is the track without its cached runs.
func (t *track) uncached() *track {
	return &track{elapsed: t.elapsed, values: t.values, stands: t.stands, offset: t.offset}
}

// plainMean is the definition: every sample for as long as it stands inside the
// window, one after the other.
func plainMean(t *track, from, to float64) (mean, covered float64) {
	sum := 0.0
	for i, begin := range t.elapsed {
		seconds := math.Min(begin+t.stands[i], to-t.offset) - math.Max(begin, from-t.offset)
		if seconds > 0 && known(t.values[i]) {
			sum += t.values[i] * seconds
			covered += seconds
		}
	}
	return sum / covered, covered
}

// A window is worth the same bits whichever windows were examined before, and what
// the definition says.
func TestRunsAreOnlyRemembered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		track := patchy(t)
		for range 6 {
			from := rapid.Float64Range(-10, 600).Draw(t, "from")
			to := from + rapid.Float64Range(-10, 600).Draw(t, "length")
			mean, covered := track.mean(from, to)
			again, seconds := track.uncached().mean(from, to)
			if math.Float64bits(mean) != math.Float64bits(again) || covered != seconds {
				t.Fatalf("mean over %v to %v: %v of %v s, without memory %v of %v s", from, to, mean, covered, again,
					seconds)
			}
			if plain, seconds := plainMean(track, from, to); math.Abs(seconds-covered) > 1e-9 || covered > 0 &&
				math.Abs(plain-mean) > 1e-9 {
				t.Fatalf("mean over %v to %v: %v of %v s, by definition %v of %v s", from, to, mean, covered, plain,
					seconds)
			}
			if a, b := fmt.Sprint(track.line(from, to)), fmt.Sprint(track.uncached().line(from, to)); a != b {
				t.Fatalf("line over %v to %v: %s, without memory %s", from, to, a, b)
			}
		}
	})
}

// The straight line of a window over several runs is that of least squares by the
// textbook's formulas over all its samples at once.
func TestLineOverRuns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		track := patchy(t)
		from := track.offset + rapid.Float64Range(0, 100).Draw(t, "from")
		to := from + rapid.Float64Range(0, 500).Draw(t, "length")
		var w, x, y []float64
		for i, at := range track.elapsed {
			if at += track.offset; at >= from && at < to && known(track.values[i]) {
				stands := math.Max(0, math.Min(track.stands[i], to-at))
				w, x, y = append(w, stands), append(x, at+stands/2-from), append(y, track.values[i])
			}
		}
		mx, my := weightedMean(w, x), weightedMean(w, y)
		sxx, sxy, syy, sum := 0.0, 0.0, 0.0, 0.0
		for i := range w {
			sum += w[i]
			sxx += w[i] * (x[i] - mx) * (x[i] - mx)
			sxy += w[i] * (x[i] - mx) * (y[i] - my)
			syy += w[i] * (y[i] - my) * (y[i] - my)
		}
		if sxx < 1e-3 {
			return // as good as no spread in time
		}
		got := track.line(from, to)
		if math.Abs(got.mean-my) > 1e-8 || math.Abs(got.slope-sxy/sxx) > 1e-6*(1+math.Abs(sxy/sxx)) ||
			math.Abs(got.sd*got.sd-syy/sum) > 1e-6*(1+syy/sum) {
			t.Fatalf("%+v, want mean %v, slope %v, sd %v", got, my, sxy/sxx, math.Sqrt(syy/sum))
		}
	})
}

func weightedMean(w, x []float64) float64 {
	sum, all := 0.0, 0.0
	for i := range w {
		sum += w[i] * x[i]
		all += w[i]
	}
	return sum / all
}

// BenchmarkDrag is an hour of ten samples a second in eight channels, summarised
// under one trim after the other.
func BenchmarkDrag(b *testing.B) {
	ds := &trial.Dataset{Facts: trial.DatasetFacts{Method: trial.DefaultMethod(), Limits: trial.DefaultLimits()}}
	s := &trial.Samples{}
	for i := range 36_000 {
		s.Elapsed = append(s.Elapsed, float64(i)/10)
		for c := range trial.AltitudeM {
			s.Values[c] = append(s.Values[c], 100+float64(i*7919%97))
		}
	}
	session := &trial.Session{Facts: trial.SessionFacts{Effort: "power"}}
	for i := range 8 {
		start := 20 + 450*float64(i)
		session.Blocks = append(session.Blocks,
			trial.Block{ID: fmt.Sprint(i), Start: start, End: start + 420, Target: 260})
	}
	tracks := Prepare(ds, []trial.Recording{{Samples: s}})
	for i := 0; b.Loop(); i++ {
		ds.Facts.Method.Trim.HeadS = float64(60 + i%10)
		tracks.Session(ds, session)
	}
}

// A recording that is sparser than what counts as a gap: a sample stands for the
// median step, 20 s, so that a window long after it began still holds it; but none
// stands beyond the next.
func TestSparseSamples(t *testing.T) {
	s := &trial.Samples{Elapsed: []float64{0, 20, 40, 46, 66}}
	track := &track{elapsed: s.Elapsed, values: []float64{240, 250, 260, 270, 280}, stands: standing(s, 5)}
	if mean, covered := track.mean(35, 37); mean != 250 || covered != 2 {
		t.Errorf("mean %v over %v s", mean, covered)
	}
	if track.stands[2] != 6 {
		t.Errorf("the third sample stands for %v s, the next comes after 6", track.stands[2])
	}
}

// A window that ends within the last sample of a run takes only its part of it.
func TestWindowEndsInTheLastSampleOfARun(t *testing.T) {
	s := &trial.Samples{}
	values := make([]float64, 2*runLength)
	for i := range values {
		s.Elapsed = append(s.Elapsed, float64(i))
		values[i] = float64(i / runLength)
	}
	track := &track{elapsed: s.Elapsed, values: values, stands: standing(s, 5)}
	if _, covered := track.mean(0, runLength-0.5); covered != runLength-0.5 {
		t.Errorf("%v s covered", covered)
	}
}
