package randomise

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/units"
)

func randomisedSession(place int, y ...float64) Session {
	return Session{Orders: [][]string{strings.Fields("a b b a"), strings.Fields("b a a b")}, Place: place, Y: y}
}

// Sessions in which ABBA or its opposite was drawn, all for the same shoe: of the
// 2^n draws two are as extreme, so p = 2/2^n, and half that on one side
// (arithmetic).
func TestRandomisationCounts(t *testing.T) {
	var sessions []Session
	for n := 1; n <= 8; n++ {
		sessions = append(sessions, randomisedSession(0, 2+float64(n), 1, 1, 2))
		r, used := Test(sessions, "a", "b", 0, 1)
		want := 2 / math.Exp2(float64(n))
		if used != n || !r.Exact || r.Assignments != 1<<n || math.Abs(r.P-want) > 1e-12 ||
			math.Abs(r.PUpper-want/2) > 1e-12 {
			t.Errorf("%d sessions: %+v of %d, want p %v", n, r, used, want)
		}
	}
	r, _ := Test(sessions, "b", "a", 0, 1)
	if math.Abs(r.PLower-1./256) > 1e-12 || r.Observed >= 0 {
		t.Errorf("turned round: %+v", r)
	}
}

// What is observed is the mean of the sessions' differences, weighted by how much
// each tells: 1 with two blocks of each and 0.5 with one weigh 1 and 0.5.
func TestRandomisationWeights(t *testing.T) {
	short := Session{Orders: [][]string{{"a", "b"}, {"b", "a"}}, Place: 1, Y: []float64{1, 5}}
	r, used := Test([]Session{randomisedSession(0, 3, 1, 1, 3), short}, "a", "b", 0, 1)
	if want := (2*1 + 4*0.5) / 1.5; used != 2 || math.Abs(r.Observed-want) > 1e-12 {
		t.Errorf("observed %v in %d, want %v", r.Observed, used, want)
	}
	none := []Session{randomisedSession(0, units.Missing, 1, 1, units.Missing),
		{Orders: [][]string{{"a", "c"}}, Y: []float64{1, 2}}}
	if r, used := Test(none, "a", "b", 0, 1); used != 0 || r.P == r.P {
		t.Errorf("without both shoes: %+v of %d", r, used)
	}
	if r, used := Test([]Session{randomisedSession(1, 1, units.Missing, 2, 3)}, "a", "b", 0, 1); used != 1 ||
		math.Abs(r.Observed-0) > 1e-12 {
		t.Errorf("a block left out: %+v of %d", r, used)
	}
}

// Were there no difference, each order was as likely to be drawn: over all draws
// p is at most x no more often than x, which is what makes the test exact.
func TestRandomisationIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, err := New(named(rapid.IntRange(2, 3).Draw(t, "shoes")), 6, nil, 1)
		if err != nil {
			t.Fatal(err)
		}
		set := d.Set()
		o := Session{Y: rapid.SliceOfN(rapid.Float64Range(-1, 1), 6, 6).Draw(t, "y")}
		if rapid.Bool().Draw(t, "one left out") {
			o.Y[rapid.IntRange(0, 5).Draw(t, "which")] = units.Missing
		}
		for _, order := range set.Orders {
			o.Orders = append(o.Orders, d.Names(order))
		}
		var p []float64
		for o.Place = range o.Orders {
			r, _ := Test([]Session{o}, "a", "b", 0, 1)
			p = append(p, r.P)
		}
		for _, x := range p {
			atMost := 0
			for _, other := range p {
				if other <= x+1e-12 {
					atMost++
				}
			}
			if share := float64(atMost) / float64(len(p)); share > x+1e-9 {
				t.Fatalf("p is at most %v in %v of the draws", x, share)
			}
		}
	})
}
