package recommend

import (
	"slices"

	"soletrial/pipeline/units"
)

// preference is how one shoe stands to another on one criterion.
type preference int

const (
	unknown preference = iota
	worse
	noWorse
	better
)

// chances are those of one shoe against another in time: that it is faster, and that it is
// not slower by more than the difference that matters. Missing where the two were not
// compared.
type chances struct{ faster, notSlower float64 }

// sureEnough is the chance from which a difference in time counts: an engineering choice.
const sureEnough = 0.90

// byTime calls a shoe better that is faster with a chance of 90 %, and no worse one that with
// that chance is not slower by more than what matters. Everything else is worse: what is not
// known well sets no shoe aside.
func (c chances) byTime() preference {
	switch {
	case !units.Known(c.faster):
		return unknown
	case c.faster >= sureEnough:
		return better
	case c.notSlower >= sureEnough:
		return noWorse
	}
	return worse
}

// setAside finds the shoes that another makes needless. inTime compares two candidates;
// comfier reports whether one shoe is shown to be more comfortable than another.
func (a *Advice) setAside(inTime func(i, j int) chances, comfier func(shoe, other string) bool) {
	rules := []struct {
		criterion Criterion
		of        func(i, j int) preference
	}{
		{Time, func(i, j int) preference { return inTime(i, j).byTime() }},
		{Comfort, func(i, j int) preference { return a.byComfort(i, j, comfier) }},
		{Weight, func(i, j int) preference { return lessIsBetter(a.Candidates[i].MassG, a.Candidates[j].MassG) }},
		{Remaining, func(i, j int) preference {
			return lessIsBetter(-a.Candidates[i].RemainingKm, -a.Candidates[j].RemainingKm)
		}},
		{Wear, func(i, j int) preference { return lessIsBetter(a.Candidates[i].WornKm, a.Candidates[j].WornKm) }},
		{Price, func(i, j int) preference { return lessIsBetter(a.Candidates[i].Price, a.Candidates[j].Price) }},
	}
	n := len(a.Candidates)
	var criteria []func(i, j int) preference
	for _, rule := range rules {
		if rule.criterion == Wear && slices.Contains(a.Criteria, Remaining) {
			continue // what is left says it better
		}
		if anyPair(n, func(i, j int) bool { return rule.of(i, j) != unknown }) {
			a.Criteria, criteria = append(a.Criteria, rule.criterion), append(criteria, rule.of)
		}
	}
	for j := range n {
		for i := range n {
			if on := a.betterOn(criteria, i, j); i != j && len(on) > 0 {
				c := &a.Candidates[j]
				c.SetAsideFor = append(c.SetAsideFor, Better{a.Candidates[i].Shoe, on})
			}
		}
	}
}

func anyPair(n int, holds func(i, j int) bool) bool {
	for i := range n {
		for j := range i {
			if holds(i, j) {
				return true
			}
		}
	}
	return false
}

// betterOn lists on what shoe i is better than shoe j where it is worse on nothing, else
// nothing. What is not known of either could be where j is better.
func (a *Advice) betterOn(criteria []func(i, j int) preference, i, j int) (on []Criterion) {
	for k, of := range criteria {
		switch of(i, j) {
		case unknown, worse:
			return nil
		case better:
			on = append(on, a.Criteria[k])
		}
	}
	return on
}

// byComfort calls a shoe better that is shown to be more comfortable, and worse one that was
// rated lower, whether that is shown or not.
func (a *Advice) byComfort(i, j int, comfier func(shoe, other string) bool) preference {
	p, q := &a.Candidates[i], &a.Candidates[j]
	switch {
	case !units.Known(p.ComfortMm) || !units.Known(q.ComfortMm):
		return unknown
	case p.ComfortMm < q.ComfortMm:
		return worse
	case comfier(p.Shoe, q.Shoe):
		return better
	}
	return noWorse
}

// lessIsBetter prefers the smaller number.
func lessIsBetter(x, y float64) preference {
	switch {
	case !units.Known(x) || !units.Known(y):
		return unknown
	case x < y:
		return better
	case x > y:
		return worse
	}
	return noWorse
}
