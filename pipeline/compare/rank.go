package compare

import (
	"cmp"
	"sort"

	"soletrial/pipeline/units"
)

// levelSize is how many blocks of the deciding outcome a level has.
type levelSize struct {
	level  string
	blocks int
}

// rank builds one ranking per level of its primary outcome, from the
// comparisons with the level's reference shoe; the level with the most blocks
// comes first.
func (run *runner) rank() {
	sort.SliceStable(run.sizes, func(i, j int) bool { return run.sizes[i].blocks > run.sizes[j].blocks })
	for _, size := range run.sizes {
		for i := range run.result.Comparisons {
			c := &run.result.Comparisons[i]
			if c.Level == size.level && c.Outcome == Primary(run.method, c.Effort) {
				run.result.Rankings = append(run.result.Rankings, run.ranking(c))
				break
			}
		}
	}
}

// ranking places every shoe that can be compared with the reference of the
// level of c: the dataset's reference where it was run there, otherwise the
// reference of the level's first comparison that has an estimate.
func (run *runner) ranking(c *Comparison) Ranking {
	r := Ranking{Outcome: c.Outcome, Effort: c.Effort, Level: c.Level}
	pairs := run.ofLevel(c)
	reference := run.levelReference(pairs)
	r.Places = append(r.Places, Place{Shoe: reference, Reference: true, Apart: apartFrom(pairs, reference, run.alpha())})
	for _, p := range pairs {
		if !units.Known(p.Estimate) || p.Shoe != reference && p.Reference != reference {
			continue
		}
		place := Place{Shoe: p.Shoe, Estimate: p.Estimate, Low: p.Low, High: p.High}
		if p.Shoe == reference {
			flipped := p.Flip()
			place = Place{Shoe: flipped.Shoe, Estimate: flipped.Estimate, Low: flipped.Low, High: flipped.High}
		}
		place.Apart = apartFrom(pairs, place.Shoe, run.alpha())
		r.Places = append(r.Places, place)
	}
	better := float64(c.Outcome.Info().Better)
	sort.SliceStable(r.Places, func(i, j int) bool {
		a, b := &r.Places[i], &r.Places[j]
		return cmp.Or(cmp.Compare(float64(better*b.Estimate), float64(better*a.Estimate)), cmp.Compare(a.Shoe, b.Shoe)) < 0
	})
	return r
}

func (run *runner) ofLevel(c *Comparison) []*Comparison {
	var pairs []*Comparison
	for i := range run.result.Comparisons {
		if p := &run.result.Comparisons[i]; p.Outcome == c.Outcome && p.Level == c.Level {
			pairs = append(pairs, p)
		}
	}
	return pairs
}

func (run *runner) levelReference(pairs []*Comparison) string {
	for _, p := range pairs {
		if units.Known(p.Estimate) && p.Reference == run.dataset.Reference() {
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

// alpha is the family-wise error rate that goes with the confidence level.
func (run *runner) alpha() float64 { return 1 - run.method.Confidence }

// apartFrom lists the shoes that are told apart from one, by the adjusted p
// values and, where there is one, the cautious interval.
func apartFrom(pairs []*Comparison, shoe string, alpha float64) []string {
	var apart []string
	for _, p := range pairs {
		if !(p.PAdjusted <= alpha) || !p.Told() {
			continue
		}
		switch shoe {
		case p.Shoe:
			apart = append(apart, p.Reference)
		case p.Reference:
			apart = append(apart, p.Shoe)
		}
	}
	sort.Slice(apart, func(a, b int) bool { return apart[a] < apart[b] })
	return apart
}
