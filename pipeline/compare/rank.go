package compare

import (
	"cmp"
	"slices"
	"sort"

	"soletrial/pipeline/stable"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// rankings builds one ranking for each level of its primary outcome, from the
// comparisons with the level's reference shoe; the level with the most blocks
// comes first.
func (a *analysis) rankings(comparisons []Comparison, groups []comparedGroup) []Ranking {
	deciding := slices.DeleteFunc(slices.Clone(groups),
		func(g comparedGroup) bool { return !g.decides || len(g.pairs) == 0 })
	stable.Sort(deciding, func(g, h comparedGroup) int { return cmp.Compare(len(h.rows), len(g.rows)) })
	rankings := make([]Ranking, len(deciding))
	for i := range deciding {
		rankings[i] = a.ranking(pairsOf(comparisons, deciding[i].outcome, deciding[i].level))
	}
	return rankings
}

// ranking places every shoe that can be compared with the reference of a level: the
// dataset's reference where it was run there, otherwise the reference of the level's
// first comparison that has an estimate.
func (a *analysis) ranking(pairs []*Comparison) Ranking {
	first := pairs[0]
	r := Ranking{Outcome: first.Outcome, Effort: first.Effort, Level: first.Level}
	reference := a.levelReference(pairs)
	r.Places = append(r.Places, Place{Shoe: reference, Reference: true})
	for _, p := range pairs {
		if !units.Known(p.Estimate) || p.Shoe != reference && p.Reference != reference {
			continue
		}
		place := Place{Shoe: p.Shoe, Estimate: p.Estimate, Low: p.Low, High: p.High}
		if p.Shoe == reference {
			reversed := p.Reverse()
			place = Place{Shoe: reversed.Shoe, Estimate: reversed.Estimate, Low: reversed.Low, High: reversed.High}
		}
		r.Places = append(r.Places, place)
	}
	better := float64(first.Outcome.Info().Better)
	sort.SliceStable(r.Places, func(i, j int) bool {
		a, b := &r.Places[i], &r.Places[j]
		return cmp.Or(cmp.Compare(float64(better*b.Estimate), float64(better*a.Estimate)),
			cmp.Compare(a.Shoe, b.Shoe)) < 0
	})
	return r
}

// pairsOf lists the comparisons in an outcome at a level, in their order.
func pairsOf(comparisons []Comparison, outcome trial.Outcome, level string) []*Comparison {
	var pairs []*Comparison
	for i := range comparisons {
		if p := &comparisons[i]; p.Outcome == outcome && p.Level == level {
			pairs = append(pairs, p)
		}
	}
	return pairs
}

func (a *analysis) levelReference(pairs []*Comparison) string {
	for _, p := range pairs {
		if units.Known(p.Estimate) && p.Reference == a.dataset.Reference() {
			return p.Reference
		}
	}
	for _, p := range pairs {
		if units.Known(p.Estimate) {
			return p.Reference
		}
	}
	return pairs[0].Reference
}
