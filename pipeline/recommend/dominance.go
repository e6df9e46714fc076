package recommend

import (
	"slices"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// preference is how one shoe stands to another on one criterion.
type preference int

const (
	unknown preference = iota
	worse
	equal
	better
)

// findDominated finds out which shoes beat which.
func (a *Advice) findDominated(r *derive.Result, ranking *compare.Ranking) {
	rules := []struct {
		criterion Criterion
		of        func(i, j int) preference
	}{
		{Time, func(i, j int) preference { return a.byTime(r, &ranking.Places[i], &ranking.Places[j]) }},
		{Comfort, func(i, j int) preference { return a.byComfort(r, i, j) }},
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
			if i != j && dominates(criteria, i, j) {
				a.Candidates[j].DominatedBy = append(a.Candidates[j].DominatedBy, a.Candidates[i].Shoe)
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

// dominates reports whether shoe i is no worse than shoe j on every criterion and
// better on one. What is not known of either could be where j is better.
func dominates(criteria []func(i, j int) preference, i, j int) bool {
	betterOnOne := false
	for _, of := range criteria {
		switch of(i, j) {
		case unknown, worse:
			return false
		case better:
			betterOnOne = true
		}
	}
	return betterOnOne
}

// byTime counts shoes that are not told apart as equal; of two that were never
// linked nothing is known.
func (a *Advice) byTime(r *derive.Result, p, q *compare.Place) preference {
	switch c := r.Compare.Find(trial.Speed, a.Level, p.Shoe, q.Shoe); {
	case c == nil || !units.Known(c.Estimate):
		return unknown
	case !slices.Contains(p.Apart, q.Shoe):
		return equal
	case p.Estimate > q.Estimate:
		return better
	}
	return worse
}

// byComfort counts as equal where the comparison's interval holds zero, or there
// is none.
func (a *Advice) byComfort(r *derive.Result, i, j int) preference {
	p, q := &a.Candidates[i], &a.Candidates[j]
	if !units.Known(p.ComfortMm) || !units.Known(q.ComfortMm) {
		return unknown
	}
	switch c := oriented(r, trial.Comfort, a.Level, p.Shoe, q.Shoe); {
	case c == nil || !c.Conclusive():
		return equal
	case c.Estimate > 0:
		return better
	}
	return worse
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
	return equal
}
