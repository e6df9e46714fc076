package plan

import (
	"fmt"
	"slices"
	"strings"

	"soletrial/pipeline/trial"
)

// Wish is what a session is to be.
type Wish struct {
	Session       string // its id
	Runner        string
	Shoes         []string
	Blocks        int
	Effort        trial.Effort
	Target, Start string
	BlockS, RestS float64
	WarmUpS       float64 // missing where none is planned
	Seed          uint64
}

// Make draws an order and writes down how. The sessions of the same runner at the
// same effort are looked at, run or planned.
func Make(ds *trial.Dataset, w Wish) (*trial.PlanFacts, *Set, error) {
	earlier := Earlier(ds, w.Session, w.Runner, w.Effort, w.Shoes)
	design, err := New(w.Shoes, w.Blocks, earlier, w.Seed)
	if err != nil {
		return nil, nil, err
	}
	set := design.Set()
	place := design.Draw(&set)
	draw := trial.PlanDraw{Seed: float64(w.Seed), Place: float64(place + 1), Orders: float64(len(set.Orders)), Considered: float64(set.Considered), Candidates: trial.AllOrders}
	if set.Sampled {
		draw.Candidates = trial.SampledOrders
	}
	for _, order := range earlier {
		draw.Earlier = append(draw.Earlier, strings.Join(order, " "))
	}
	facts := &trial.PlanFacts{
		Shoes: design.Shoes, Order: design.names(set.Orders[place]), Effort: string(w.Effort), Target: w.Target, BlockS: w.BlockS, RestS: w.RestS,
		WarmUpS: w.WarmUpS, Start: w.Start, Draw: draw, Rules: ds.RulesOf(w.Effort),
	}
	return facts, &set, nil
}

func (d *Design) names(order []int) []string {
	list := make([]string, len(order))
	for i, s := range order {
		list[i] = d.Shoes[s]
	}
	return list
}

// Earlier lists the shoes of the blocks of each session of a runner at an effort,
// in their order: as run, or as planned where nothing has been run yet. The
// session itself is left out, and so are sessions with fewer than two of the
// shoes, which say nothing about them.
func Earlier(ds *trial.Dataset, session, runner string, effort trial.Effort, shoes []string) [][]string {
	var list [][]string
	for i := range ds.Sessions {
		s := &ds.Sessions[i]
		if s.ID == session || s.Effort() != effort || runner != "" && s.Facts.Runner != runner {
			continue
		}
		order := Run(s)
		if order == nil && s.Plan != nil {
			order = s.Plan.Order
		}
		seen := slices.DeleteFunc(slices.Compact(slices.Sorted(slices.Values(order))), func(shoe string) bool { return !slices.Contains(shoes, shoe) })
		if len(seen) >= 2 {
			list = append(list, order)
		}
	}
	return list
}

// Run lists the shoes of a session's blocks in the order of the run, those too
// that are left out of the comparison; blocks without a shoe are passed over.
func Run(s *trial.Session) []string {
	var order []string
	for _, b := range s.Blocks {
		if b.Shoe != "" {
			order = append(order, b.Shoe)
		}
	}
	return order
}

// Fitting returns how many blocks fit into a time in seconds that starts with the
// warm-up and ends with a block.
func Fitting(seconds, warmUpS, blockS, restS float64) int {
	if left := seconds - warmUpS + restS; left > 0 && blockS+restS > 0 {
		return int(left / (blockS + restS))
	}
	return 0
}

// Again makes the set that a plan's order was drawn from again, in shoe ids. It
// fails when what comes out is not what the plan says.
func Again(facts *trial.PlanFacts) ([][]string, error) {
	d := Design{Shoes: facts.Shoes, Blocks: make([]int, len(facts.Shoes)), Seed: uint64(facts.Draw.Seed)}
	if len(d.Shoes) < MinShoes || len(d.Shoes) > MaxShoes || len(facts.Order) > MaxBlocks {
		return nil, fmt.Errorf("the plan is larger than any that is drawn: %d shoes, %d blocks", len(d.Shoes), len(facts.Order))
	}
	for _, shoe := range facts.Order {
		i := slices.Index(facts.Shoes, shoe)
		if i < 0 {
			return nil, fmt.Errorf("shoe %q of the order is not among the shoes", shoe)
		}
		d.Blocks[i]++
	}
	if slices.Min(d.Blocks) == 0 {
		return nil, fmt.Errorf("a shoe of the plan has no block")
	}
	for _, line := range facts.Draw.Earlier {
		d.Earlier = append(d.Earlier, strings.Fields(line))
	}
	set := d.Set()
	place := d.Draw(&set)
	switch {
	case len(set.Orders) != int(facts.Draw.Orders):
		return nil, fmt.Errorf("the plan says %d orders, its numbers give %d", int(facts.Draw.Orders), len(set.Orders))
	case place+1 != int(facts.Draw.Place) || !slices.Equal(d.names(set.Orders[place]), facts.Order):
		return nil, fmt.Errorf("seed %.0f draws another order: %s", facts.Draw.Seed, strings.Join(d.names(set.Orders[place]), " "))
	}
	list := make([][]string, len(set.Orders))
	for i, order := range set.Orders {
		list[i] = d.names(order)
	}
	return list, nil
}
