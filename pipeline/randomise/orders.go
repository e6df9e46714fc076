package randomise

import (
	"errors"
	"slices"
	"strconv"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Orders returns the orders that a plan could have produced, in shoe ids. It fails
// when they are not those that the plan states.
func Orders(facts *trial.PlanFacts) ([][]string, error) {
	d, err := planned(facts)
	if err != nil {
		return nil, err
	}
	set := d.Set()
	place := d.Choose(&set)
	switch {
	case len(set.Orders) != int(facts.Draw.Orders):
		return nil, errors.New("the plan says " + strconv.Itoa(int(facts.Draw.Orders)) +
			" orders, its numbers give " + strconv.Itoa(len(set.Orders)))
	case place+1 != int(facts.Draw.Place) || !slices.Equal(d.Names(set.Orders[place]), facts.Order):
		return nil, errors.New("seed " + strconv.FormatFloat(facts.Draw.Seed, 'f', 0, 64) + " draws another order: " +
			strings.Join(d.Names(set.Orders[place]), " "))
	}
	list := make([][]string, len(set.Orders))
	for i, order := range set.Orders {
		list[i] = d.Names(order)
	}
	return list, nil
}

// planned is the design that a plan tells of.
func planned(facts *trial.PlanFacts) (*Design, error) {
	d := &Design{Shoes: facts.Shoes, Blocks: make([]int, len(facts.Shoes)), Seed: uint64(facts.Draw.Seed),
		Rule: ruleOf(facts.Draw.Candidates)}
	if len(d.Shoes) < MinShoes || len(d.Shoes) > MaxShoes || len(facts.Order) > MaxBlocks {
		return nil, errors.New("the plan has " + units.Count(len(d.Shoes), "shoe") + " and " +
			units.Count(len(facts.Order), "block") + "; a session is planned for " + strconv.Itoa(MinShoes) + " to " +
			strconv.Itoa(MaxShoes) + " shoes and at most " + strconv.Itoa(MaxBlocks) + " blocks")
	}
	for _, shoe := range facts.Order {
		i := slices.Index(facts.Shoes, shoe)
		if i < 0 {
			return nil, errors.New("shoe " + strconv.Quote(shoe) + " of the order is not among the shoes")
		}
		d.Blocks[i]++
	}
	if slices.Min(d.Blocks) == 0 {
		return nil, errors.New("a shoe of the plan has no block")
	}
	for _, line := range facts.Draw.Earlier {
		d.Earlier = append(d.Earlier, strings.Fields(line))
	}
	return d, nil
}

// Names writes an order of the design in shoe ids.
func (d *Design) Names(order []int) []string {
	list := make([]string, len(order))
	for i, s := range order {
		list[i] = d.Shoes[s]
	}
	return list
}
