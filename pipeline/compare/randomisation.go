package compare

import (
	"slices"

	"soletrial/pipeline/randomise"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Randomisation is the randomisation test of a comparison over the orders that plans
// could have drawn: how often the draw alone would have made the two shoes differ as
// much, if neither made any difference. It rests on no model, and holds for these days
// only. P is missing where no session was run in the order that its plan drew, and where
// there are fewer than [FewestOrders] orders.
type Randomisation struct {
	P        float64
	Exact    bool // all Draws that could have been made were examined, else so many of them
	Draws    int
	Sessions int // that were run as drawn and hold both shoes
	// PAtEnds is the larger p of the same test of a difference at either end of the
	// interval: small where test and model agree. Missing where the two do not rest on
	// the same sessions, there is no interval, or so few orders that no result could
	// have been seldom enough.
	PAtEnds float64
}

// FewestOrders is how many orders there must be for the test: with fewer no result could
// have p at or below 0.05.
const FewestOrders = 20

// Sentence says the result and what it rests on; "" without one.
func (t Randomisation) Sentence(confidence float64) string {
	if !units.Known(t.P) {
		return ""
	}
	return "randomisation test for these days: p = " + units.FormatSignificant(t.P, 2) + " (" +
		t.Basis(confidence) + ")"
}

// Basis says in words what P rests on, and whether it agrees with the model.
func (t Randomisation) Basis(confidence float64) string {
	how := "sampled"
	if t.Exact {
		how = "all of them"
	}
	words := units.Count(t.Sessions, "session") + ", " + units.Count(t.Draws, "order") + ", " + how
	switch {
	case !units.Known(t.PAtEnds):
		return words
	case t.agrees(1 - confidence):
		return words + "; agrees with the interval"
	}
	return words + "; does not agree with the interval"
}

// disagreement is how much more often than the level of the interval the draw alone
// may do as much at an end of it: an engineering choice, wide because the two look
// at the same blocks in different ways.
const disagreement = 4

func (t Randomisation) agrees(level float64) bool { return t.PAtEnds <= float64(disagreement*level) }

// plannedOrder is a session that was run in the order its plan drew, and the orders
// it was drawn from.
type plannedOrder struct {
	*trial.Session
	number int // by the index
	orders [][]string
	place  int // of the order among them
}

// followedPlan reports whether a session was run in the order that its plan drew.
func followedPlan(s *trial.Session) bool {
	return s.Plan != nil && len(s.Plan.Order) > 0 && slices.Equal(s.ShoesRun(), s.Plan.Order)
}

// plannedOrders makes the possible orders of the sessions again that were run in the
// order their plan drew.
func (a *analysis) plannedOrders() []plannedOrder {
	var planned []plannedOrder
	numbers := a.index.sessionNumbers()
	for i := range a.dataset.Sessions {
		s := &a.dataset.Sessions[i]
		number, compared := numbers[s.ID]
		if !compared || !followedPlan(s) {
			continue
		}
		if orders, err := randomise.Orders(s.Plan); err == nil {
			planned = append(planned, plannedOrder{s, number, orders, int(s.Plan.Draw.Place) - 1})
		}
	}
	return planned
}

// testRandomisation tests the pairs of a group by the randomisation of the orders.
func (a *analysis) testRandomisation(g group, pairs []Comparison) {
	if len(a.orders) == 0 {
		return
	}
	// What was analysed of each block.
	type place struct {
		session int
		block   string
	}
	y := make(map[place]float64, len(g.rows))
	for i := range g.rows {
		y[place{g.rows[i].session, g.rows[i].Block}] = g.rows[i].y
	}
	// The sessions as they were run, in the order of the plan.
	var sessions []randomise.Session
	for _, p := range a.orders {
		o := randomise.Session{Orders: p.orders, Place: p.place}
		for i := range p.Blocks {
			if p.Blocks[i].Shoe == "" {
				continue
			}
			value, known := y[place{p.number, p.Blocks[i].ID}]
			if !known {
				value = units.Missing
			}
			o.Y = append(o.Y, value)
		}
		sessions = append(sessions, o)
	}
	// Each pair that can be compared.
	for i := range pairs {
		if pairs[i].Model != NotComparable {
			a.testPair(&pairs[i], sessions)
		}
	}
}

func (a *analysis) testPair(c *Comparison, sessions []randomise.Session) {
	seed := uint64(a.orders[0].Plan.Draw.Seed)
	r, used := randomise.Test(sessions, c.Shoe, c.Reference, 0, seed)
	if used == 0 {
		return
	}
	c.Randomisation = Randomisation{
		P: r.P, Exact: r.Exact, Draws: r.Assignments, Sessions: used, PAtEnds: units.Missing,
	}
	if r.Assignments < FewestOrders {
		c.Randomisation.P = units.Missing
		return
	}
	level := 1 - a.method.Confidence
	canTell := !r.Exact || float64(level*float64(r.Assignments)) >= 2-1e-9 // a draw and its opposite
	if !units.Known(c.Low) || used < c.Sessions || !canTell {
		return
	}
	low, _ := randomise.Test(sessions, c.Shoe, c.Reference, c.LogEstimate-c.halfWidth, seed)
	high, _ := randomise.Test(sessions, c.Shoe, c.Reference, c.LogEstimate+c.halfWidth, seed)
	c.Randomisation.PAtEnds = max(low.P, high.P)
	c.agree(level)
}

// agree takes it as a reason against solid evidence that the test would let a
// difference pass that the interval leaves out. Whether zero is among these makes no
// difference: the size of the effect has no say.
func (c *Comparison) agree(level float64) {
	if c.Randomisation.agrees(level) {
		return
	}
	if c.Evidence == Solid {
		c.Evidence = Fair
	}
}
