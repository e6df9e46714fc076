package cli

import (
	"fmt"
	"slices"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/plan"
	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// chance is the randomisation test of one comparison over the orders that plans
// could have drawn.
type chance struct {
	stats.Randomisation
	sessions int
}

// chances tests the comparisons shown by the draw of the orders alone; those
// without a session that was run in the order its plan drew are left out.
func chances(result *derive.Result, shown []*compare.Comparison) map[*compare.Comparison]chance {
	drawn := drawnSessions(result.Dataset)
	tested := map[*compare.Comparison]chance{}
	if len(drawn) == 0 {
		return tested
	}
	for _, c := range shown {
		var outings []plan.Outing
		for _, d := range drawn {
			outings = append(outings, plan.Outing{Orders: d.orders, Drawn: d.place, Y: analysed(result, d.session, c)})
		}
		seed := uint64(drawn[0].session.Plan.Draw.Seed)
		if r, used := plan.Chance(outings, c.Shoe, c.Reference, seed); used > 0 {
			tested[c] = chance{r, used}
		}
	}
	return tested
}

// drawnSession is a session run in the order that its plan drew, and the orders
// it was drawn from.
type drawnSession struct {
	session *trial.Session
	orders  [][]string
	place   int
}

func drawnSessions(ds *trial.Dataset) []drawnSession {
	var list []drawnSession
	for i := range ds.Sessions {
		s := &ds.Sessions[i]
		if s.Plan == nil || !slices.Equal(plan.Run(s), s.Plan.Order) {
			continue
		}
		if orders, err := plan.Again(s.Plan); err == nil {
			list = append(list, drawnSession{s, orders, int(s.Plan.Draw.Place) - 1})
		}
	}
	return list
}

// analysed is what is compared of each block with a shoe of a session; missing
// where the block is left out or was run at another level.
func analysed(result *derive.Result, s *trial.Session, c *compare.Comparison) []float64 {
	var list []float64
	exponent := result.Dataset.Facts.Method.PowerExponent
	for _, b := range result.Session(s.ID).Blocks {
		if b.Shoe == "" {
			continue
		}
		y := units.Missing
		o := compare.Observation{Effort: s.Effort(), Target: b.Target, Held: b.Held, Outcomes: b.Outcomes}
		if b.Included && o.Level() == c.Level {
			y = compare.Analysed(&o, c.Outcome, exponent)
		}
		list = append(list, y)
	}
	return list
}

// printChances prints the tests under their comparisons.
func (a *app) printChances(result *derive.Result, shown []*compare.Comparison) {
	tested := chances(result, shown)
	if len(tested) == 0 {
		return
	}
	label := compare.Labels(result.Dataset)
	a.printf("how often the draw of the orders alone would do as much\n")
	for _, c := range shown {
		if r, found := tested[c]; found {
			a.printf("  %-25s p = %-9s %s\n", fit(label(c.Shoe)+" - "+label(c.Reference), 25), units.FormatSignificant(r.P, 2), r.basis())
		}
	}
	a.hang("  ", "(randomisation test over the orders that the plans could have drawn, if no shoe made any difference; it rests on no model, and few sessions leave few orders)")
	a.printf("\n")
}

func (r chance) basis() string {
	how := "sampled"
	if r.Exact {
		how = "all of them"
	}
	return fmt.Sprintf("%s, %d draws, %s", plural(r.sessions, "session", "sessions"), r.Assignments, how)
}

type chanceJSON struct {
	P        *float64 `json:"p_value,omitempty"`
	Exact    bool     `json:"exact"`
	Draws    int      `json:"draws"`
	Sessions int      `json:"sessions"`
}

func (r chance) json() *chanceJSON {
	return &chanceJSON{known(r.P), r.Exact, r.Assignments, r.sessions}
}
