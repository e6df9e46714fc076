package plan

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// trialOf is an invented dataset with the shoes A, B and C and its answers at the same power: A is
// 2 % faster than B, B 1 % faster than C, and a block is 0.3 % up or down in turn.
func trialOf(t *testing.T, orders ...string) (*trial.Dataset, *answer.Answers) {
	t.Helper()
	ds := &trial.Dataset{Facts: trial.DatasetFacts{Method: trial.DefaultMethod(), Limits: trial.DefaultLimits()},
		Shoes: []trial.Shoe{{ID: "A"}, {ID: "B"}, {ID: "C"}}}
	onShoe := answer.Source{Device: "foot_sensor", OnShoe: true}
	speed := map[string]float64{"A": 4.12, "B": 4.04, "C": 4}
	in := answer.Inputs{Dataset: ds, Accuracy: decide.Coarse}
	for s, order := range orders {
		session := trial.Session{ID: fmt.Sprintf("day-%d", s+1), Facts: trial.SessionFacts{Effort: string(trial.Power)}}
		for place, letter := range order {
			shoe := string(letter)
			b := answer.Block{Session: session.ID, Date: fmt.Sprintf("2026-05-%02d", s+1), Runner: "me",
				ID: fmt.Sprint(place + 1), Shoe: shoe, Effort: trial.Power, Target: 250, Midpoint: float64(540 * place),
				Order: place + 1, Speed: onShoe, Power: onShoe, GroundM: units.Missing, SensorM: units.Missing}
			m := answer.Means{Speed: speed[shoe] * (1 + 0.003*math.Cos(math.Pi*float64(place/2))), HeartRate: 150,
				Effort: 250}
			for range decide.Windows {
				b.Windows = append(b.Windows, m)
			}
			in.Blocks = append(in.Blocks, b)
			session.Blocks = append(session.Blocks, trial.Block{ID: b.ID, Shoe: shoe})
		}
		ds.Sessions = append(ds.Sessions, session)
	}
	return ds, answer.Decide(in)
}

// Whose shoes the sessions to come have: those asked for, else those of the answer from the
// best on, else those of the register, else none that has a name.
func TestAdviceIsAboutTheShoesOfTheAnswer(t *testing.T) {
	ds, answers := trialOf(t, "CBAABC", "ABCCBA")
	fresh, nothing := trialOf(t)
	for name, c := range map[string]struct {
		got  Advice
		want []string
	}{
		"of the answer":   {AdviceFor(ds, answers, trial.Power, nil), []string{"A", "B", "C"}},
		"asked for":       {AdviceFor(ds, answers, trial.Power, []string{"C", "B"}), []string{"C", "B"}},
		"of the register": {AdviceFor(fresh, nothing, trial.Power, nil), []string{"A", "B", "C"}},
		"not run so":      {AdviceFor(ds, answers, trial.HeartRate, nil), []string{"A", "B", "C"}},
		"of no register":  {AdviceFor(&trial.Dataset{}, nothing, trial.Power, nil), []string{"one shoe", "another"}},
	} {
		if !slices.Equal(c.got.Shoes, c.want) {
			t.Errorf("%s: %q, want %q", name, c.got.Shoes, c.want)
		}
	}
	if adv := AdviceFor(ds, answers, trial.Power, nil); adv.Status == "" || adv.Outcome != trial.Speed {
		t.Errorf("of an answer: status %q, outcome %v", adv.Status, adv.Outcome)
	}
	if adv := AdviceFor(ds, answers, trial.Pace, nil); adv.Status != "" || adv.Outcome != trial.Heart {
		t.Errorf("of nothing at the same pace: status %q, outcome %v", adv.Status, adv.Outcome)
	}
}

// A question about two of three shoes goes by their blocks alone; every session ahead has an
// order of the shoes, and the sensor may err in each of them.
func TestAdviceGoesByTheBlocksOfTheShoesAskedFor(t *testing.T) {
	ds, answers := trialOf(t, "CBAABC", "ABCCBA")
	adv := AdviceFor(ds, answers, trial.Power, []string{"A", "B"})
	if err := adv.lookAhead(ds, Request{Blocks: 4, BlockS: 360, RestS: 180, Seed: 1}); err != nil {
		t.Fatal(err)
	}
	if n := len(adv.Outlook.Blocks); n != 8 {
		t.Errorf("starts from %d blocks, want the 4 of A and the 4 of B", n)
	}
	for _, order := range adv.Outlook.Orders {
		if len(order) != 4 || !slices.Contains(order, "A") || !slices.Contains(order, "B") {
			t.Errorf("an order of %q", order)
		}
	}
	if n, want := len(adv.Outlook.Orders), SessionsAhead[len(SessionsAhead)-1]; n != want {
		t.Errorf("%d orders, want %d", n, want)
	}
	if adv.Outlook.SpacingH != 0.15 || adv.Blocks != 4 {
		t.Errorf("blocks every %v h, %d of them; 6 and 3 minutes are 0.15 h", adv.Outlook.SpacingH, adv.Blocks)
	}
	if !(adv.Outlook.SensorSD["A"] > 0 && adv.Outlook.SensorSD["B"] > 0) {
		t.Errorf("the sensor's error is %v", adv.Outlook.SensorSD)
	}
	if adv.Least != nil {
		t.Errorf("of two shoes, %v are said to be compared least", adv.Least)
	}
}

func TestAdviceNamesTheShoesComparedLeast(t *testing.T) {
	ds, answers := trialOf(t, "ABBAABBA", "ACCA")
	adv := AdviceFor(ds, answers, trial.Power, nil)
	if err := adv.lookAhead(ds, Request{Blocks: 6, BlockS: 360, RestS: 180, Seed: 1}); err != nil {
		t.Fatal(err)
	}
	if p := adv.Least; p == nil || p.A+p.B != "BC" && p.A+p.B != "CB" {
		t.Errorf("compared least: %v; B and C never met", p)
	}
}

// Two shoes cannot share one block.
func TestAdviceSaysWhatCannotBePlanned(t *testing.T) {
	ds, answers := trialOf(t, "ABBA")
	adv := AdviceFor(ds, answers, trial.Power, nil)
	if err := adv.lookAhead(ds, Request{Blocks: 1, BlockS: 360, RestS: 180, Seed: 1}); err == nil {
		t.Error("one block for two shoes was planned")
	}
}

// What one session more can be expected to leave open shrinks with what was run before it.
func TestExpectation(t *testing.T) {
	facts := &trial.PlanFacts{Shoes: []string{"A", "B"}, Order: []string{"A", "B", "B", "A"},
		Effort: string(trial.Power), BlockS: 360, RestS: 180}
	fresh, nothing := trialOf(t)
	alone, ok := Expect(fresh, nothing, facts)
	if !ok || alone.Sessions != 0 {
		t.Fatalf("alone: %+v, %v", alone, ok)
	}
	ds, answers := trialOf(t, "ABBA", "BAAB", "ABBA")
	more, ok := Expect(ds, answers, facts)
	if !ok || more.Sessions != 3 || !(more.HalfWidthPct > 0 && more.HalfWidthPct < alone.HalfWidthPct) {
		t.Errorf("after three sessions: %+v, %v; alone ±%v %%", more.Sessions, more.HalfWidthPct, alone.HalfWidthPct)
	}
	if _, ok := Expect(ds, answers, &trial.PlanFacts{Shoes: facts.Shoes, Effort: facts.Effort}); ok {
		t.Error("a plan without an order has an expectation")
	}
}
