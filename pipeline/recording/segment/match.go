package segment

import (
	"math"

	"soletrial/pipeline/stats"
)

// Planned is a block as it was planned.
type Planned struct {
	Shoe      string
	DurationS float64
}

// Fit says which planned block each found one is.
type Fit struct {
	// Of has, for each found block, the number of the planned one from 0, or -1
	// for a block that was not planned or could be more than one.
	Of []int
	// Could has, for each found block, every planned one that it may be.
	Could [][]int
	// Missed are the planned blocks that no found one can be, Doubtful those that
	// one may be but that nothing settles.
	Missed, Doubtful []int
}

// The price of leaving a found or a planned block without a partner, and how
// much worse than the best a fit may be to be possible still. The price of a pair
// is the logarithm of the ratio of the lengths, at most ln 1.25 = 0.22.
const (
	unmatchedPrice = 0.25
	slack          = 0.2
	within         = 1.25 // the ratio of the lengths up to which a found block may be a planned one
)

// Match fits found blocks, by their lengths in seconds, to planned ones, both in
// the order of the run: the fit in which the lengths differ least and the fewest
// blocks stay without a partner, as sequences are aligned (Needleman & Wunsch
// 1970, J Mol Biol 48:443). A block may differ from its planned length by a
// quarter. Where other fits are nearly as good, what differs between them is left
// open: with one of eight equal blocks missing nobody can tell which.
func Match(found []float64, plan []Planned) Fit {
	// The cheapest matching of what comes before, and of what comes after, each pair.
	price := func(i, j int) float64 { return pairPrice(found[i], plan[j].DurationS) }
	before := prices(len(found), len(plan), price)
	after := prices(len(found), len(plan), func(i, j int) float64 { return price(len(found)-1-i, len(plan)-1-j) })
	best := before[len(found)][len(plan)]
	rest := func(i, j int) float64 { return after[len(found)-i][len(plan)-j] }
	// A pair is possible where some matching as good as the best has it, certain where all have.
	fit := Fit{Of: make([]int, len(found)), Could: make([][]int, len(found))}
	certain, possible := make([]bool, len(plan)), make([]bool, len(plan))
	for i := range found {
		fit.Of[i] = -1
		mayBeUnmatched := false
		for j := 0; j <= len(plan); j++ {
			mayBeUnmatched = mayBeUnmatched || before[i][j]+unmatchedPrice+rest(i+1, j) <= best+slack
			if j < len(plan) && before[i][j]+price(i, j)+rest(i+1, j+1) <= best+slack {
				fit.Could[i] = append(fit.Could[i], j)
				possible[j] = true
			}
		}
		if len(fit.Could[i]) == 1 && !mayBeUnmatched {
			fit.Of[i] = fit.Could[i][0]
			certain[fit.Of[i]] = true
		}
	}
	// Planned blocks that no such matching has, or not all.
	for j := range plan {
		switch {
		case !possible[j]:
			fit.Missed = append(fit.Missed, j)
		case !certain[j]:
			fit.Doubtful = append(fit.Doubtful, j)
		}
	}
	return fit
}

// pairPrice is infinite for lengths that are too different.
func pairPrice(found, planned float64) float64 {
	if !(found > 0 && planned > 0) {
		return math.Inf(1)
	}
	p := math.Abs(stats.Log(found / planned))
	if p > stats.Log(within) {
		return math.Inf(1)
	}
	return p
}

// prices has at [i][j] the least price of the first i found and j planned blocks.
func prices(found, planned int, pair func(i, j int) float64) [][]float64 {
	p := make([][]float64, found+1)
	for i := range p {
		p[i] = make([]float64, planned+1)
		for j := range p[i] {
			if i == 0 && j == 0 {
				continue
			}
			best := math.Inf(1)
			if i > 0 {
				best = p[i-1][j] + unmatchedPrice
			}
			if j > 0 {
				best = min(best, p[i][j-1]+unmatchedPrice)
			}
			if i > 0 && j > 0 {
				best = min(best, p[i-1][j-1]+pair(i-1, j-1))
			}
			p[i][j] = best
		}
	}
	return p
}
