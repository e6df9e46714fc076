package compare

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/randomise"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// drawnTrial is a dataset whose sessions were run in the orders that their plans drew,
// one plan for each seed.
func drawnTrial(t testing.TB, start func(string) *made, shoes string, blocks int, noise float64,
	seeds ...uint64) *made {
	t.Helper()
	m := start(shoes)
	r := rand.New(rand.NewPCG(seeds[0], 3))
	for i, seed := range seeds {
		d, err := randomise.New(strings.Split(shoes, ""), blocks, nil, seed)
		if err != nil {
			t.Fatal(err)
		}
		set := d.Set()
		place := d.Choose(&set)
		m.session(fmt.Sprintf("d%d", i+1), strings.Join(d.Names(set.Orders[place]), ""), speeds(r, noise))
		p := m.Sessions[i].Plan
		p.Shoes, p.Draw = d.Shoes, trial.PlanDraw{Seed: float64(seed), Place: float64(place + 1),
			Orders: float64(len(set.Orders)), Candidates: set.Candidates()}
	}
	return m
}

// Two orders in each session, ABBA and its opposite, and shoe B always faster: of
// 2^n orders two are as extreme, so p = 2/2^n (arithmetic). With fewer than 20 there is none.
func TestRandomisationCountsOrders(t *testing.T) {
	for n := 1; n <= 6; n++ {
		m := drawnTrial(t, undrifting, "AB", 4, 1e-6, slices.Repeat([]uint64{1}, n)...)
		got := find(t, m.run(), "B", "A").Randomisation
		want := 2 / math.Exp2(float64(n))
		if n < 5 {
			want = units.Missing
		}
		if got.P != want && units.Known(want) || units.Known(got.P) != (n >= 5) || !got.Exact || got.Draws != 1<<n ||
			got.Sessions != n || units.Known(got.PAtEnds) != (n == 6) {
			t.Errorf("%d sessions: %+v, want p %v", n, got, want)
		}
	}
	m := drawnTrial(t, undrifting, "AB", 4, 1e-6, 1, 1, 1)
	if got := find(t, m.run(), "B", "A").Randomisation.Basis(0.95); got != "3 sessions, 8 orders, all of them" {
		t.Errorf("it rests on %q", got)
	}
}

// The p at the ends of the interval is the larger of two, and so does not depend on which of the
// shoes is the reference.
func TestRandomisationAtBothEnds(t *testing.T) {
	for seed := range uint64(4) {
		m := drawnTrial(t, undrifting, "AB", 4, 0.004, slices.Repeat([]uint64{seed}, 6)...)
		one := find(t, m.run(), "B", "A").Randomisation.PAtEnds
		m.Facts.Method.Reference = "B"
		other := find(t, m.run(), "A", "B").Randomisation.PAtEnds
		if !units.Known(one) || one != other {
			t.Errorf("seed %d: p at the ends is %v, and %v the other way round", seed, one, other)
		}
	}
}

// Only sessions that were run as drawn count, and without one there is no p.
func TestRandomisationNeedsTheDraw(t *testing.T) {
	for name, c := range map[string]struct {
		change              func(*trial.Session)
		sessions, unplanned int
	}{
		"as drawn":                  {func(*trial.Session) {}, 3, 0},
		"no plan":                   {func(s *trial.Session) { s.Plan = nil }, 2, 1},
		"another order":             {func(s *trial.Session) { s.Blocks[0].Shoe = s.Blocks[1].Shoe }, 2, 1},
		"a draw that does not hold": {func(s *trial.Session) { s.Plan.Draw.Orders++ }, 2, 0},
	} {
		m := drawnTrial(t, undrifting, "AB", 4, 0.003, 1, 2, 3)
		c.change(&m.Sessions[1])
		got := find(t, m.run(), "B", "A")
		if got.Randomisation.Sessions != c.sessions {
			t.Errorf("%s: %d sessions, want %d", name, got.Randomisation.Sessions, c.sessions)
		}
		if got.basis.unplanned != c.unplanned {
			t.Errorf("%s: %d sessions without a plan that was followed, want %d",
				name, got.basis.unplanned, c.unplanned)
		}
	}
	m := noisy(undrifting("AB"), 4, 0.003, "ABBA", "BAAB")
	if got := find(t, m.run(), "B", "A").Randomisation; got.Sessions != 0 || units.Known(got.P) {
		t.Errorf("without a draw: %+v", got)
	}
}

// What the test says against the interval lowers solid evidence and no other, and
// only where it says a good deal against it.
func TestAgree(t *testing.T) {
	for _, c := range []struct {
		atEnd, level float64
		was, want    Grade
		agrees       bool
	}{{0.05, 0.05, Solid, Solid, true}, {0.2, 0.05, Solid, Solid, true}, {0.21, 0.05, Solid, Fair, false},
		{0.9, 0.05, Thin, Thin, false}, {0.3, 0.1, Solid, Solid, true}} {
		got := Comparison{Evidence: c.was, Randomisation: Randomisation{PAtEnds: c.atEnd}}
		got.agree(c.level)
		if words := got.Randomisation.Basis(1 - c.level); strings.Contains(words, "does not agree") == c.agrees {
			t.Errorf("p %v at the end, level %v: %s", c.atEnd, c.level, words)
		}
		if got.Evidence != c.want {
			t.Errorf("p %v at the end, level %v: %s, want %s", c.atEnd, c.level, got.Evidence, c.want)
		}
	}
}

// With sound blocks the test and the interval agree nearly always: the interval was
// not found wanting in more than 5 of 100 trials of four sessions.
func TestAgreesWithTheModel(t *testing.T) {
	apart := 0
	for seed := range uint64(100) {
		m := drawnTrial(t, drifting, "AB", 8, 0.01, 4*seed+1, 4*seed+2, 4*seed+3, 4*seed+4)
		got := find(t, m.run(), "B", "A")
		if got.Randomisation.Sessions != 4 || !got.Randomisation.Exact {
			t.Fatalf("seed %d: %+v", seed, got.Randomisation)
		}
		if !got.Randomisation.agrees(1 - m.Facts.Method.Confidence) {
			apart++
		}
	}
	t.Logf("%d of 100 do not agree", apart)
	if apart > 5 {
		t.Errorf("%d of 100 do not agree", apart)
	}
}

// TestAgreementIgnoresEffects: a constant effect of a shoe, however large, changes
// no grade, also where the randomisation test is asked.
func TestAgreementIgnoresEffects(outer *testing.T) {
	rapid.Check(outer, func(t *rapid.T) {
		seed := rapid.Uint64Range(1, 1<<40).Draw(t, "seed")
		m := drawnTrial(outer, drifting, "AB", 8, 0.01, seed, seed+1, seed+2)
		effect := math.Exp(rapid.Float64Range(-0.5, 0.5).Draw(t, "effect"))
		moved := m.copy().each(func(o *Observation) {
			if o.Shoe == "B" {
				o.Outcomes[trial.Speed] *= effect
			}
		})
		was, is := find(outer, m.run(), "B", "A"), find(outer, moved.run(), "B", "A")
		if was.Evidence != is.Evidence {
			t.Fatalf("%s became %s", was.Evidence, is.Evidence)
		}
	})
}
