package compare

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// made is an invented dataset in the making: a shoe is one letter, a session an
// order such as "ABBA".
type made struct {
	*trial.Dataset
	blocks []Observation
}

// undrifting starts a dataset whose first shoe is the reference and whose model has no
// drift term.
func undrifting(shoes string) *made {
	m := drifting(shoes)
	m.Facts.Method.Drift = trial.DriftNone
	return m
}

// drifting starts one whose model has a drift term.
func drifting(shoes string) *made {
	m := &made{Dataset: &trial.Dataset{Facts: trial.DatasetFacts{Method: trial.DefaultMethod()}}}
	for _, shoe := range shoes {
		m.Shoes = append(m.Shoes, trial.Shoe{ID: string(shoe), Label: "Shoe " + string(shoe)})
	}
	m.Facts.Method.Reference = shoes[:1]
	return m
}

// session adds a session of blocks at a power of 270 W, nine minutes apart,
// whose speed is given for each place (0 first). It was run in the order of its
// plan, which does not say how that was drawn.
func (m *made) session(id, order string, speed func(place int, shoe string) float64) *made {
	s := trial.Session{ID: id, Facts: trial.SessionFacts{Date: id, Effort: "power"},
		Plan: &trial.PlanFacts{Order: strings.Split(order, "")}}
	for place, letter := range order {
		s.Blocks = append(s.Blocks, trial.Block{ID: strconv.Itoa(place + 1), Shoe: string(letter)})
		o := Observation{
			Session: id, Date: id, Block: strconv.Itoa(place + 1), Shoe: string(letter), Order: place + 1,
			Effort: trial.Power, Target: 270, MeanEffort: 270, Midpoint: float64(540 * place),
		}
		for i := range o.Outcomes {
			o.Outcomes[i] = units.Missing
		}
		o.Outcomes[trial.Speed] = speed(place, o.Shoe)
		m.blocks = append(m.blocks, o)
	}
	m.Sessions = append(m.Sessions, s)
	return m
}

// each changes every block.
func (m *made) each(change func(o *Observation)) *made {
	for i := range m.blocks {
		change(&m.blocks[i])
	}
	return m
}

func (m *made) run(findings ...trial.Finding) Result {
	return Analyse(m.Dataset, m.blocks, findings, 1)
}

// copy returns a dataset whose blocks may be changed.
func (m *made) copy() *made {
	ds := *m.Dataset
	return &made{&ds, append([]Observation(nil), m.blocks...)}
}

// speeds returns a session's speeds: about 4 m/s, each shoe a percent faster than
// the one before, with noise of the given size.
func speeds(r *rand.Rand, noise float64) func(int, string) float64 {
	day := 0.02 * r.NormFloat64()
	return func(_ int, shoe string) float64 {
		return 4 * math.Exp(day+0.01*float64(shoe[0]-'A')+noise*r.NormFloat64())
	}
}

// noisy is a dataset with the given orders, one session each.
func noisy(m *made, seed uint64, noise float64, orders ...string) *made {
	r := rand.New(rand.NewPCG(seed, 17))
	for i, order := range orders {
		m.session(fmt.Sprintf("d%d", i+1), order, speeds(r, noise))
	}
	return m
}

// find is Find for the speed at 270 W, in one direction.
func find(t testing.TB, r Result, shoe, reference string) Comparison {
	t.Helper()
	return findIn(t, r, trial.Speed, "power 270", shoe, reference)
}

func findIn(t testing.TB, r Result, outcome trial.Outcome, level, shoe, reference string) Comparison {
	t.Helper()
	c := r.Find(outcome, level, shoe, reference)
	if c == nil {
		t.Fatalf("no comparison of %s and %s in %s at %s", shoe, reference, outcome.Info().ID, level)
	}
	if c.Shoe != shoe {
		return c.Reverse()
	}
	return *c
}

// near fails unless got is within a relative tolerance of want; both may be
// missing.
func near(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if units.Known(got) != units.Known(want) || math.Abs(got-want) > tolerance*math.Max(1e-12, math.Abs(want)) {
		t.Errorf("%s: %.15g, want %.15g", what, got, want)
	}
}

// zero fails unless got is zero to within rounding on the scale of percent.
func zero(t testing.TB, what string, got float64) {
	t.Helper()
	if !(math.Abs(got) < 1e-11) {
		t.Errorf("%s: %g, want 0", what, got)
	}
}
