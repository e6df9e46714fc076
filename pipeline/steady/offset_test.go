package steady

import (
	"fmt"
	"math"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// A recording whose clock is 100 s behind and is moved by 100 s gives the same summaries.
func TestOffsetChangesNothingElse(t *testing.T) {
	for _, distanceOnly := range []bool{false, true} {
		ds, session, recordings := steadyRun(1000, func(t float64) float64 { return 4 + 0.1*math.Sin(t/7) + t/5000 })
		addBlock(session, 200, 600)
		addBlock(session, 610, 990)
		s := recordings[0].Samples
		for i, at := range s.Elapsed {
			s.Values[trial.HeartRateBpm] = append(s.Values[trial.HeartRateBpm], 150+at/100)
			s.Values[trial.PowerW][i] += math.Cos(at / 11)
			if distanceOnly {
				s.Values[trial.DistanceM] = append(s.Values[trial.DistanceM], 4*at+at*at/10_000)
			}
		}
		if distanceOnly {
			s.Values[trial.SpeedMps] = nil
		}
		want := fmt.Sprintf("%+v", Session(ds, session, recordings))
		for i := range s.Elapsed {
			s.Elapsed[i] -= 100
		}
		recordings[0].Fact.OffsetS = 100
		if got := fmt.Sprintf("%+v", Session(ds, session, recordings)); got != want {
			t.Errorf("moved\n%s\nwant\n%s", got, want)
		}
	}
}

// The change between the first and the last value that are known.
func TestChangeByHand(t *testing.T) {
	m := units.Missing
	track := &track{elapsed: []float64{0, 1, 2, 3, 4, 5}, values: []float64{m, 10, 25, 40, m, m}, offset: 100}
	for _, c := range []struct{ from, to, change, seconds float64 }{{100, 105, 30, 2}, {101, 103, 30, 2},
		{102, 105, 15, 1},
		{103, 105, m, 0}, {104, 105, m, 0}, {100, 101, m, 0}, {100, 102, 15, 1}} {
		change, seconds := track.change(c.from, c.to)
		if units.Known(change) != units.Known(c.change) || change-c.change > 0 || change-c.change < 0 ||
			seconds != c.seconds {
			t.Errorf("%v to %v: %v in %v s, want %v in %v s", c.from, c.to, change, seconds, c.change, c.seconds)
		}
	}
}

// Through one sample goes no line.
func TestNoLineThroughOneSample(t *testing.T) {
	track := &track{elapsed: []float64{0, 1, 2}, values: []float64{4, 5, 6}, stands: []float64{1, 1, 1}}
	if got := track.line(0.5, 1.5); units.Known(got.mean) || units.Known(got.slope) || units.Known(got.sd) {
		t.Errorf("%+v", got)
	}
	if got := track.line(0, 3); math.Abs(got.slope-1) > 1e-12 || math.Abs(got.mean-5) > 1e-12 {
		t.Errorf("%+v, want slope 1 about 5", got)
	}
}
