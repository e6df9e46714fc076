package randomise

import (
	"slices"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/units"
)

// Session is a session that was run in the order of its plan.
type Session struct {
	Orders [][]string // that the plan could have produced, see [Orders]
	Place  int        // which of them was run, from 0
	Y      []float64  // what is compared, block by block; missing where a block is not
}

// Test asks how often the randomisation of the orders alone would have made shoe a
// differ from shoe b as far from truth as it did, if truth were the difference
// between them in every block: the randomisation test of the weighted mean over sessions of
// the difference between their mean blocks, weights n m/(n + m) for n and m planned
// blocks (Edgington & Onghena 2007). It rests on no model.
//
// Of a session's orders those count in which every other shoe stands where it was
// run: given these places each of them was as likely as the other, and what other
// shoes do to a block does not enter. Sessions without both shoes are passed over, and
// so are those of which one order only counts and those in which some order would
// leave one of the two without a block that is compared; used counts the rest.
// Without any, P is NaN.
func Test(sessions []Session, a, b string, truth float64, seed uint64) (result stats.Randomisation, used int) {
	var values [][]float64
	observed, weights := 0.0, 0.0
	for i := range sessions {
		differences, run, weight := sessions[i].differences(a, b, truth)
		if differences == nil {
			continue
		}
		for i := range differences {
			differences[i] = float64(differences[i] * weight)
		}
		values = append(values, differences)
		observed += differences[run]
		weights += weight
		used++
	}
	if used == 0 {
		observed = units.Missing
	}
	for _, session := range values {
		for i := range session {
			session[i] /= weights
		}
	}
	return stats.RandomiseSum(values, observed/weights, seed), used
}

// differences is what each order that counts would have given, and the place of the
// one that was run; nil where one gives nothing.
func (s *Session) differences(a, b string, truth float64) (list []float64, place int, weight float64) {
	run := s.Orders[s.Place]
	y := slices.Clone(s.Y)
	for i := range y {
		if run[i] == a {
			y[i] -= truth
		}
	}
	for k, order := range s.Orders {
		if !exchanges(run, order, a, b) {
			continue
		}
		var sum, n [2]float64
		for i, y := range y {
			if which := slices.Index([]string{a, b}, order[i]); which >= 0 && units.Known(y) {
				sum[which] += y
				n[which]++
			}
		}
		if n[0] == 0 || n[1] == 0 {
			return nil, 0, 0
		}
		if k == s.Place {
			place = len(list)
		}
		list = append(list, sum[0]/n[0]-sum[1]/n[1])
	}
	if len(list) < 2 {
		return nil, 0, 0
	}
	n, m := blocksOf(run, a), blocksOf(run, b)
	return list, place, float64(n * m / (n + m)) // the same for every order, or it would not be the randomisation alone
}

// exchanges reports whether an order differs from the one run in the places of two
// shoes only.
func exchanges(run, order []string, a, b string) bool {
	for i, shoe := range run {
		if shoe != a && shoe != b && order[i] != shoe {
			return false
		}
	}
	return true
}

func blocksOf(order []string, shoe string) (n float64) {
	for _, s := range order {
		if s == shoe {
			n++
		}
	}
	return n
}
