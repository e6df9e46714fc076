package compare

import (
	"slices"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// book remembers every fit, by all that it was asked with.
type book struct {
	mu           sync.Mutex
	fits         map[string]Fit
	fresh, known int
}

func (b *book) recall(question []byte, fresh func() Fit) Fit {
	b.mu.Lock()
	defer b.mu.Unlock()
	fit, known := b.fits[string(question)]
	if known {
		b.known++
		return fit
	}
	b.fresh++
	fit = fresh()
	b.fits[string(question)] = fit
	return fit
}

func newBook() *book { return &book{fits: map[string]Fit{}} }

// by runs a trial with what a book remembers.
func (m *made) by(b *book) Result {
	study := NewStudy(m.Dataset, m.blocks, nil, 1, b.recall)
	for i := range study.Sessions() {
		study.Result.Sessions = append(study.Result.Sessions, study.Within(i)...)
	}
	return study.Result
}

// Whatever changes in a trial, what is remembered of it before and of all other
// trials gives no other answer than fitting everything anew.
func TestRememberedFitsAreTheFreshOnes(t *testing.T) {
	known := newBook()
	changes := map[string]func(t *rapid.T, m *made, o *Observation){
		"nothing":  func(*rapid.T, *made, *Observation) {},
		"speed":    func(_ *rapid.T, _ *made, o *Observation) { o.Outcomes[trial.Speed] *= 1.001 },
		"held":     func(_ *rapid.T, _ *made, o *Observation) { o.Held++ },
		"unheld":   func(_ *rapid.T, m *made, _ *Observation) { m.each(func(o *Observation) { o.Held = units.Missing }) },
		"one held": func(_ *rapid.T, m *made, at *Observation) { at.Held = units.Missing },
		"midpoint": func(_ *rapid.T, _ *made, o *Observation) { o.Midpoint += 60 },
		"order":    func(_ *rapid.T, m *made, at *Observation) { m.swap(at) },
		"shoe":     func(t *rapid.T, m *made, o *Observation) { o.Shoe = rapid.SampledFrom(m.Shoes).Draw(t, "shoe").ID },
		"gone":     func(_ *rapid.T, m *made, _ *Observation) { m.blocks = m.blocks[:len(m.blocks)-1] },
		"drift":    func(_ *rapid.T, m *made, _ *Observation) { m.Facts.Method.Drift = trial.DriftLinear },
		"no drift": func(_ *rapid.T, m *made, _ *Observation) { m.Facts.Method.Drift = trial.DriftNone },
		"exponent": func(_ *rapid.T, m *made, _ *Observation) { m.Facts.Method.PowerExponent = 0.9 },
		"as it is": func(_ *rapid.T, m *made, _ *Observation) { m.Facts.Method.PowerExponent = 0 },
		"another":  func(_ *rapid.T, m *made, _ *Observation) { m.Facts.Method.Primary = trial.Cadence.Info().ID },
		"runners": func(t *rapid.T, m *made, o *Observation) {
			m.each(func(p *Observation) { p.Runner = p.Session })
		},
	}
	names := make([]string, 0, len(changes))
	for name := range changes {
		names = append(names, name)
	}
	slices.Sort(names)
	rapid.Check(t, func(t *rapid.T) {
		m := anyTrial(t).each(func(o *Observation) { o.Outcomes[trial.Cadence] = 175 + float64(o.Order) })
		for range 3 {
			name := rapid.SampledFrom(names).Draw(t, "change")
			m = m.copy()
			changes[name](t, m, &m.blocks[rapid.IntRange(0, len(m.blocks)-1).Draw(t, "block")])
			if len(m.blocks) < 2 {
				return
			}
			fresh, remembered := m.run(), m.by(known)
			if len(fresh.Comparisons) != len(remembered.Comparisons) || len(fresh.Sessions) != len(remembered.Sessions) {
				t.Fatalf("%s: %d comparisons, remembered %d", name, len(fresh.Comparisons), len(remembered.Comparisons))
			}
			for i := range fresh.Comparisons {
				if f, r := &fresh.Comparisons[i], &remembered.Comparisons[i]; !same(f, r) || !equal(f.Adjustment, r.Adjustment) {
					t.Fatalf("%s: fresh\n%+v\nremembered\n%+v", name, f, r)
				}
			}
			for i := range fresh.Sessions {
				if f, r := &fresh.Sessions[i], &remembered.Sessions[i]; !equal(f.ToDate, r.ToDate) || !equal(f.ToDateLow, r.ToDateLow) || !equal(f.ToDateHigh, r.ToDateHigh) {
					t.Fatalf("%s: to date %+v, remembered %+v", name, f, r)
				}
			}
		}
	})
	if known.known == 0 {
		t.Error("nothing was ever remembered")
	}
}

// swap exchanges the places of a block and the one before it.
func (m *made) swap(at *Observation) {
	for i := range m.blocks {
		if o := &m.blocks[i]; o.Session == at.Session && o.Order == at.Order-1 {
			o.Order, at.Order = at.Order, o.Order
			return
		}
	}
}

// What a changed session has no part in is not fitted again: the other runners, and
// its own runner's estimates to date before it.
func TestOnlyWhatChangedIsFittedAnew(t *testing.T) {
	m := noisy(undrifting("AB"), 8, 0.01, "ABBA", "BAAB", "ABBA", "BAAB", "ABBA", "BAAB").each(func(o *Observation) {
		o.Runner = map[bool]string{true: "x", false: "y"}[o.Session < "d4"]
	})
	known := newBook()
	m.by(known)
	if known.fresh != 8 {
		t.Fatalf("%d fits, want each runner's whole, and to date at each of three sessions", known.fresh)
	}
	for _, c := range []struct {
		session string
		want    int // the whole, and to date from that session on
	}{{"d6", 2}, {"d5", 3}, {"d4", 4}, {"d1", 4}} {
		known.fresh = 0
		m.copy().each(func(o *Observation) {
			if o.Session == c.session {
				o.Outcomes[trial.Speed] += 0.01 * float64(o.Order)
			}
		}).by(known)
		if known.fresh != c.want {
			t.Errorf("after a change of %s: %d fits, want %d", c.session, known.fresh, c.want)
		}
	}
}
