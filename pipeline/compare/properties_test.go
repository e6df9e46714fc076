package compare

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"

	"pgregory.net/rapid"
)

// numbers of a comparison that do not depend on the direction, and those that
// change their sign with it.
func (c *Comparison) even() []float64 {
	return []float64{c.LogSE, c.DF, c.P, c.PAdjusted, c.BetweenSD, c.ResidualSD, c.DriftPerHour, c.DriftSE,
		c.TippingDrift, float64(c.Sessions), float64(c.Blocks)}
}

// logs of what is reported in percent, which are exact opposites in the other
// direction. Beyond a factor of e^15 one of the two directions is -100 % to the last
// digit and cannot be turned back.
func (c *Comparison) odd() []float64 {
	log := func(x float64) float64 { return math.Max(-15, math.Min(math.Log1p(x/100), 15)) }
	return []float64{c.LogEstimate, log(c.Estimate), log(c.Low), log(c.High), log(c.WithoutLow), log(c.WithoutHigh)}
}

// alike fails unless the numbers agree to within rounding; slack is absolute.
func alike(t *rapid.T, what string, got, want []float64, slack float64) {
	t.Helper()
	for i := range want {
		if units.Known(got[i]) != units.Known(want[i]) || math.Abs(got[i]-want[i]) > slack+1e-6*math.Abs(want[i]) {
			t.Fatalf("%s: number %d is %v, want %v", what, i, got[i], want[i])
		}
	}
}

// TestFlipIsAnInvolution: seen from the other shoe and back again nothing is
// different, and each direction tells the same story.
func TestFlipIsAnInvolution(t *testing.T) {
	check := func(t *rapid.T, m *made) {
		r := m.run()
		for i := range r.Comparisons {
			c := &r.Comparisons[i]
			f := c.Reverse()
			b := f.Reverse()
			if f.Shoe != c.Reference || f.Reference != c.Shoe || f.Conclusive() != c.Conclusive() ||
				f.LogEstimate != -c.LogEstimate {
				if units.Known(c.LogEstimate) {
					t.Fatalf("%+v flipped is %+v", c, f)
				}
			}
			alike(t, "even", f.even(), c.even(), 0)
			alike(t, "there and back", append(b.odd(), b.even()...), append(c.odd(), c.even()...), 1e-12)
			alike(t, "adjustment", []float64{b.Adjustment}, []float64{c.Adjustment}, 1e-10)
			if units.Known(f.Low) && !(f.Low <= f.Estimate && f.Estimate <= f.High) || f.WithoutLow > f.WithoutHigh ||
				f.PredictionLow > f.PredictionHigh {
				t.Fatalf("an interval lies the wrong way round: %+v", f)
			}
			if len(f.PerRunner) != len(c.PerRunner) || len(f.PerRunner) > 0 && &f.PerRunner[0] == &c.PerRunner[0] {
				t.Fatalf("runners of the flipped: %v", f.PerRunner)
			}
			for j, own := range f.PerRunner {
				if units.Known(own.Estimate) && math.Signbit(own.Estimate) == math.Signbit(c.PerRunner[j].Estimate) &&
					own.Estimate != 0 {
					t.Fatalf("a runner did not turn: %+v", own)
				}
			}
			if c.Outlying.Block != "" && (f.Outlying.Block != c.Outlying.Block ||
				f.Outlying.Estimate < f.WithoutLow-1e-9 || f.Outlying.Estimate > f.WithoutHigh+1e-9) {
				t.Fatalf("outlying %+v outside %v to %v", f.Outlying, f.WithoutLow, f.WithoutHigh)
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) { check(t, anyTrial(t)) })
	rapid.Check(t, func(t *rapid.T) { check(t, anyTrial(t).each(func(o *Observation) { o.Runner = o.Session })) })
}

// TestRelabelling: exchanging the names of two shoes flips their comparison.
func TestRelabelling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyTrial(t)
		other := m.copy().each(func(o *Observation) {
			o.Shoe = map[string]string{"A": "B", "B": "A"}[o.Shoe] + strings.Trim(o.Shoe, "AB")
		})
		before, after := m.run(), other.run()
		was, is := before.Find(trial.Speed, "power 270", "A", "B"), after.Find(trial.Speed, "power 270", "A", "B")
		if was == nil {
			if is != nil {
				t.Fatalf("a comparison out of nothing: %+v", is)
			}
			return
		}
		flipped := is.Reverse()
		flipped.Shoe, flipped.Reference = flipped.Reference, flipped.Shoe
		was.PAdjusted, flipped.PAdjusted = 0, 0 // checked for the whole family elsewhere
		if was.Model != is.Model || was.Evidence != is.Evidence {
			t.Fatalf("%s %s became %s %s", was.Model, was.Evidence, is.Model, is.Evidence)
		}
		alike(t, "even", flipped.even(), was.even(), 1e-9)
		alike(t, "odd", flipped.odd(), was.odd(), 1e-9)
	})
}

// TestScale: another unit of speed changes nothing.
func TestScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyTrial(t)
		factor := rapid.Float64Range(0.1, 10).Draw(t, "factor")
		a, b := m.run(), m.copy().each(func(o *Observation) { o.Outcomes[trial.Speed] *= factor }).run()
		for i := range a.Comparisons {
			was, is := &a.Comparisons[i], &b.Comparisons[i]
			alike(t, was.Shoe+was.Reference, append(is.odd(), is.even()...), append(was.odd(), was.even()...), 1e-9)
		}
	})
}

// TestRowOrder: the order in which blocks arrive changes no bit.
func TestRowOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyTrial(t)
		shuffled := m.copy()
		shuffled.blocks = rapid.Permutation(m.blocks).Draw(t, "order")
		a, b := m.run(), shuffled.run()
		if len(a.Comparisons) != len(b.Comparisons) || len(a.Sessions) != len(b.Sessions) {
			t.Fatalf("%d and %d comparisons", len(a.Comparisons), len(b.Comparisons))
		}
		for i := range a.Comparisons {
			if !same(&a.Comparisons[i], &b.Comparisons[i]) {
				t.Fatalf("%+v\nbecame %+v", a.Comparisons[i], b.Comparisons[i])
			}
		}
		for i := range a.Sessions {
			p, q := &a.Sessions[i], &b.Sessions[i]
			if p.Session != q.Session || !same(&p.Comparison, &q.Comparison) || !equal(p.ToDate, q.ToDate) ||
				!equal(p.ToDateLow, q.ToDateLow) {
				t.Fatalf("%+v\nbecame %+v", p, q)
			}
		}
	})
}

func same(c, d *Comparison) bool {
	return c.compare(d) == 0 && c.Model == d.Model && c.Outlying == d.Outlying &&
		slices.Equal(c.Notes, d.Notes) &&
		slices.EqualFunc(append(c.even(), c.odd()...), append(d.even(), d.odd()...), equal)
}

func equal(x, y float64) bool { return x == y || !units.Known(x) && !units.Known(y) }

// TestUnrelatedSession: a session at another level, or one that nothing links to
// the rest, changes nothing.
func TestUnrelatedSession(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyTrial(t)
		more := noisy(m.copy(), 99, 0.01)
		more.session("x1", "YZZY", func(place int, shoe string) float64 { return 4 + 0.01*float64(place) })
		more.session("x2", "ABBA", func(place int, shoe string) float64 { return 5 + 0.01*float64(place) })
		for i := range more.blocks {
			if more.blocks[i].Session == "x2" {
				more.blocks[i].Target = 333
			}
		}
		a, b := m.run(), more.run()
		for i := range a.Comparisons {
			was := &a.Comparisons[i]
			is := b.Find(was.Outcome, was.Level, was.Shoe, was.Reference)
			is.PAdjusted = was.PAdjusted // Holm counts the pair Y, Z too
			if !same(was, is) {
				t.Fatalf("%+v\nbecame %+v", was, is)
			}
		}
	})
}

// TestTwice: a session recorded twice is counted twice here; that it is the same
// is for a finding to say. It can only seem to make the estimate surer.
func TestTwice(t *testing.T) {
	m := noisy(undrifting("AB"), 3, 0.01, "ABBA", "BAAB", "ABBA")
	twice := m.copy()
	for _, o := range m.blocks {
		if o.Session == "d3" {
			o.Session = "d4"
			twice.blocks = append(twice.blocks, o)
		}
	}
	a, b := find(t, m.run(), "B", "A"), find(t, twice.run(), "B", "A")
	if b.Sessions != 4 || b.Blocks != 16 || b.DF <= a.DF || b.LogEstimate == a.LogEstimate {
		t.Errorf("%d sessions, %d blocks, df %v from %v", b.Sessions, b.Blocks, b.DF, a.DF)
	}
}

// TestLeaveOneOut compares the range with what Run says of the blocks that are
// left.
func TestLeaveOneOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyTrial(t)
		r := m.run()
		type extent struct {
			low, high float64
			outlying  Outlying
		}
		want := map[string]extent{}
		for i, out := range m.blocks {
			left := m.copy()
			left.blocks = slices.Delete(slices.Clone(m.blocks), i, i+1)
			left.Facts.Method.Primary = "cadence" // which needs no blocks left out in turn itself
			without := left.run()
			for _, c := range r.Comparisons {
				d := without.Find(c.Outcome, c.Level, c.Shoe, c.Reference)
				if d == nil || !units.Known(d.Estimate) || !units.Known(c.Estimate) {
					continue
				}
				if link := r.Find(c.Outcome, c.Level, out.Shoe, c.Shoe); link != nil && link.Model == NotComparable {
					continue // a block of shoes that nothing links to these
				}
				k := c.Shoe + c.Reference
				e, seen := want[k]
				if !seen {
					e = extent{d.Estimate, d.Estimate, Outlying{out.Session, out.Block, d.Estimate}}
				}
				e.low, e.high = min(e.low, d.Estimate), max(e.high, d.Estimate)
				if math.Abs(d.Estimate-c.Estimate) > math.Abs(e.outlying.Estimate-c.Estimate)+1e-9 {
					e.outlying = Outlying{out.Session, out.Block, d.Estimate}
				}
				want[k] = e
			}
		}
		for _, c := range r.Comparisons {
			e, seen := want[c.Shoe+c.Reference]
			if !seen {
				e = extent{low: units.Missing, high: units.Missing}
			}
			alike(t, "range", []float64{c.WithoutLow, c.WithoutHigh}, []float64{e.low, e.high}, 1e-9)
			if seen &&
				math.Abs(math.Abs(c.Outlying.Estimate-c.Estimate)-math.Abs(e.outlying.Estimate-c.Estimate)) > 1e-6 {
				t.Fatalf("outlying %+v, want %+v", c.Outlying, e.outlying)
			}
		}
	})
}

// TestToDate: the estimate to date is what Run says of the sessions so far.
func TestToDate(t *testing.T) {
	m := noisy(drifting("ABC"), 4, 0.01, "ABBA", "BCCB", "ABCCBA", "CAAC", "BAAB")
	r := m.run()
	seen := 0
	for i, session := range m.Sessions {
		upTo := m.copy()
		upTo.blocks = nil
		for _, o := range m.blocks {
			if slices.IndexFunc(m.Sessions, func(s trial.Session) bool { return s.ID == o.Session }) <= i {
				upTo.blocks = append(upTo.blocks, o)
			}
		}
		so := upTo.run()
		for _, s := range r.Sessions {
			if s.Session != session.ID {
				continue
			}
			seen++
			c := so.Find(s.Outcome, s.Level, s.Shoe, s.Reference)
			if !equal(s.ToDate, c.Estimate) || !equal(s.ToDateLow, c.Low) || !equal(s.ToDateHigh, c.High) ||
				s.Date != session.Facts.Date {
				t.Errorf("%s, %s against %s: to date %v (%v to %v), want %v (%v to %v)", s.Session, s.Shoe, s.Reference,
					s.ToDate, s.ToDateLow, s.ToDateHigh, c.Estimate, c.Low, c.High)
			}
			if s.Model != OneSession || s.Sessions != 1 {
				t.Errorf("%s by itself: %s over %d sessions", s.Session, s.Model, s.Sessions)
			}
		}
	}
	if seen != 7 || seen != len(r.Sessions) {
		t.Errorf("%d comparisons within sessions, want 7", seen)
	}
}

// TestToDateOfMany: of many sessions only some steps are worked out, the last
// always.
func TestToDateOfMany(t *testing.T) {
	orders := make([]string, 130)
	for i := range orders {
		orders[i] = []string{"ABBA", "BAAB"}[i%2]
	}
	r := noisy(undrifting("AB"), 4, 0.01, orders...).run()
	known := 0
	for _, s := range r.Sessions {
		if units.Known(s.ToDate) {
			known++
		}
	}
	c, last := find(t, r, "B", "A"), r.Sessions[len(r.Sessions)-1]
	if len(r.Sessions) != 130 || known != 44 || last.ToDate != c.Estimate {
		t.Errorf("%d steps of %d, the last %v of %v", known, len(r.Sessions), last.ToDate, c.Estimate)
	}
}

// TestQuick: what the quick way gives is what the thorough one gives, but for the
// range with each block left out.
func TestQuick(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := noisy(drifting("abc"), rapid.Uint64().Draw(t, "seed"), 0.01, "abccba", "bcaacb", "cab")
		m.each(func(o *Observation) { o.Outcomes[trial.Cadence] = 175 + float64(o.Order) + o.Outcomes[trial.Speed] })
		whole, quick := m.run(), Quick(m.Dataset, m.blocks, nil, trial.Cadence)
		if a, b := fmt.Sprint(whole.Rankings), fmt.Sprint(quick.Rankings); a != b {
			t.Fatalf("rankings %s and %s", a, b)
		}
		if len(quick.Comparisons) != 6 || len(quick.Sessions) != 0 {
			t.Fatalf("%d comparisons, %d within sessions", len(quick.Comparisons), len(quick.Sessions))
		}
		for i := range quick.Comparisons {
			c := &quick.Comparisons[i]
			d := *whole.Find(c.Outcome, c.Level, c.Shoe, c.Reference)
			d.WithoutLow, d.WithoutHigh, d.Outlying = c.WithoutLow, c.WithoutHigh, c.Outlying
			if c.Outcome != trial.Speed && c.Outcome != trial.Cadence || !same(c, &d) ||
				c.Evidence != d.Evidence {
				t.Fatalf("quick %+v, thorough %+v", c, d)
			}
		}
	})
}
