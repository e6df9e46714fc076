package compare

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// invented is a dataset of invented numbers in the shape asked for: every
// session runs the given number of blocks over some of the shoes, in an order
// that differs from session to session.
func invented(sessions, blocks, shoes, perSession, outcomes int) (*trial.Dataset, []Observation) {
	r := rand.New(rand.NewPCG(3, uint64(sessions)))
	ds := &trial.Dataset{Facts: trial.DatasetFacts{Method: trial.DefaultMethod()}}
	for i := range shoes {
		ds.Shoes = append(ds.Shoes, trial.Shoe{ID: fmt.Sprintf("s%02d", i)})
	}
	var all []Observation
	for s := range sessions {
		id := fmt.Sprintf("d%04d", s)
		ds.Sessions = append(ds.Sessions, trial.Session{ID: id, Facts: trial.SessionFacts{Date: id, Effort: "power"}})
		day, own := 0.01*r.NormFloat64(), r.Perm(shoes)[:perSession]
		shift := make([]float64, shoes)
		for i := range shift {
			shift[i] = 0.004 * r.NormFloat64()
		}
		for b := range blocks {
			k := own[b%perSession]
			if b/perSession%2 == 1 {
				k = own[perSession-1-b%perSession]
			}
			o := Observation{
				Session: id, Date: id, Runner: "r", Block: fmt.Sprint(b + 1), Shoe: ds.Shoes[k].ID, Effort: trial.Power,
				Target:     270,
				MeanEffort: 270 * (1 + 0.01*r.NormFloat64()), Midpoint: float64(600 + 540*b), Order: b + 1,
			}
			for i := range o.Outcomes {
				o.Outcomes[i] = units.Missing
				if i < outcomes {
					o.Outcomes[i] = 4 * (1 + day + 0.002*float64(k) + shift[k] - 0.001*float64(b) +
						0.01*r.NormFloat64())
				}
			}
			all = append(all, o)
		}
	}
	return ds, all
}

// BenchmarkDemoRecompute is everything there is to say about a trial in the shape
// of the demonstration: every outcome, every session, each block left out in turn.
func BenchmarkDemoRecompute(b *testing.B) {
	ds, observations := invented(8, 8, 4, 4, int(trial.OutcomeCount))
	b.ReportAllocs()
	for b.Loop() {
		if r := Analyse(ds, observations, nil, 1); len(r.Comparisons) != 6*int(trial.OutcomeCount) {
			b.Fatal(len(r.Comparisons))
		}
	}
}

// BenchmarkDemoQuick is a change in the explorer, with the outcome that decides and
// one more in view, then with all of them. It has to fit in a frame, 16 ms, under
// WebAssembly too.
func BenchmarkDemoQuick(b *testing.B) {
	ds, observations := invented(8, 8, 4, 4, int(trial.OutcomeCount))
	var all []trial.Outcome
	for o := range trial.OutcomeCount {
		all = append(all, o)
	}
	for name, shown := range map[string][]trial.Outcome{"one": {trial.Cadence}, "all": all} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if r := Quick(ds, observations, nil, shown...); len(r.Comparisons) < 12 {
					b.Fatal(len(r.Comparisons))
				}
			}
		})
	}
}

// BenchmarkManySessions is one outcome of 2,000 sessions, 60 shoes, 24,000
// blocks: the mixed model alone, and all that Run makes of it.
func BenchmarkManySessions(b *testing.B) {
	ds, observations := invented(2000, 12, 60, 4, 1)
	b.Run("fit", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			x, rows := newIndex(ds, observations)
			f, err := fitModel(newGroup(x, rows, trial.Speed, trial.DefaultMethod()), trial.DriftLinear)
			if err != nil || f.kind != Mixed {
				b.Fatal(f, err)
			}
		}
	})
	b.Run("run", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if r := Analyse(ds, observations, nil, 1); len(r.Comparisons) != 60*59/2 {
				b.Fatal(len(r.Comparisons))
			}
		}
	})
}
