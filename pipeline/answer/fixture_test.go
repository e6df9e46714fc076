package answer

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// field is an invented trial whose blocks are made by formula: at 250 W, 4 m/s and 150 bpm, a
// shoe's speed is 4 m/s times exp of its advantage, and blocks vary by noise.
type field struct {
	effort    trial.Effort
	orders    []string           // one session each, a letter a block
	advantage map[string]float64 // of a shoe, as a logarithm
	heart     map[string]float64 // how much higher heart rate is in a shoe, as a logarithm
	noise     float64            // SD of a block, as a logarithm
	source    Source             // of speed and power
	ground    map[string]float64 // ln(ground/sensor) of a shoe; nil for no ground distances
	method    func(*trial.Method)
}

// shoeNames are the ids of the letters of an order, and their labels with a capital.
var shoeNames = map[rune]string{'A': "alder", 'B': "birch", 'C': "cedar"}

// onFoot and offFoot are sensors on the shoe and elsewhere.
var onFoot, offFoot = Source{Device: "foot", OnShoe: true}, Source{Device: "watch"}

func (f field) inputs() Inputs {
	ds := &trial.Dataset{Facts: trial.DatasetFacts{Method: trial.DefaultMethod(), Limits: trial.DefaultLimits()}}
	if f.method != nil {
		f.method(&ds.Facts.Method)
	}
	for _, letter := range "ABC" {
		id := shoeNames[letter]
		ds.Shoes = append(ds.Shoes, trial.Shoe{ID: id, Label: strings.ToUpper(id[:1]) + id[1:]})
	}
	in := Inputs{Dataset: ds, Accuracy: decide.Exact}
	if f.effort == "" {
		f.effort = trial.Power
	}
	r := rand.New(rand.NewPCG(1, 2))
	for s, order := range f.orders {
		id := fmt.Sprintf("day-%d", s+1)
		ds.Sessions = append(ds.Sessions, trial.Session{ID: id, Facts: trial.SessionFacts{Effort: string(f.effort)},
			At: trial.Position{File: "sessions/" + id + "/session.yaml"}})
		session := &ds.Sessions[s]
		for place, letter := range order {
			block := f.block(id, s, place, shoeNames[letter], r)
			in.Blocks = append(in.Blocks, block)
			session.Blocks = append(session.Blocks, trial.Block{ID: block.ID, Shoe: block.Shoe,
				At: trial.Position{File: "sessions/" + id + "/blocks.csv", Line: place + 2}})
		}
	}
	return in
}

func (f field) block(session string, s, place int, shoe string, r *rand.Rand) Block {
	b := Block{Session: session, Date: fmt.Sprintf("2026-05-%02d", s+1), Runner: "me", ID: fmt.Sprint(place + 1),
		Shoe: shoe, Effort: f.effort, Midpoint: float64(540 * place), Order: place +
			1, Speed: f.source, Power: f.source,
		GroundM: units.Missing, SensorM: units.Missing}
	speed := 4 * math.Exp(f.advantage[shoe]+float64(f.noise*r.NormFloat64()))
	heart := 150 * math.Exp(f.heart[shoe]+float64(f.noise*r.NormFloat64()))
	m := Means{Speed: speed, HeartRate: heart, Effort: 250}
	b.Target = 250
	switch f.effort {
	case trial.Pace:
		m.Speed, m.Effort = 4, 250
	case trial.HeartRate:
		b.Target, m.Effort, m.HeartRate = 150, 150, 150
	}
	if f.ground != nil {
		b.SensorM = 300 * speed
		b.GroundM = b.SensorM * math.Exp(f.ground[shoe])
	}
	for range decide.Windows {
		b.Windows = append(b.Windows, m)
	}
	return b
}

// decided is the answer at the only effort of a field.
func decided(t *testing.T, in Inputs) (*Answers, *Effort, *Group) {
	t.Helper()
	a := Decide(in)
	e, g := a.Top()
	if g == nil {
		t.Fatalf("no answer: %+v", a)
	}
	return a, e, g
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.10g, want %.10g", what, got, want)
	}
}

// abba is an order that is balanced over two sessions.
var abba = []string{"ABBA", "BAAB"}

// times repeats orders.
func times(n int, orders ...string) (all []string) {
	for range n {
		all = append(all, orders...)
	}
	return all
}
