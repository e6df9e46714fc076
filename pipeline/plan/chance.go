package plan

import (
	"slices"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/units"
)

// Outing is a session that was run in the order its plan drew.
type Outing struct {
	Orders [][]string // it was drawn from, see [Again]
	Drawn  int        // the place among them, from 0
	Y      []float64  // what is compared, block by block; missing where a block is not
}

// Chance asks how often the draw of the orders alone would have made two shoes
// differ as much as they did, if no shoe made any difference: the randomisation
// test of the weighted mean over sessions of the difference between their mean
// blocks, weights n m/(n + m) for n and m planned blocks (Edgington & Onghena 2007). It
// rests on no model. Sessions without both shoes are passed over, and so are those
// in which some order would leave one of them without a block that is compared;
// used counts the rest. Without any, P is NaN.
func Chance(outings []Outing, a, b string, seed uint64) (result stats.Randomisation, used int) {
	var values [][]float64
	observed, weights := 0.0, 0.0
	for _, o := range outings {
		differences, weight := o.differences(a, b)
		if differences == nil {
			continue
		}
		for i := range differences {
			differences[i] = float64(differences[i] * weight)
		}
		values = append(values, differences)
		observed += differences[o.Drawn]
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

// differences is what each order would have given, nil where one gives nothing.
func (o *Outing) differences(a, b string) (list []float64, weight float64) {
	for _, order := range o.Orders {
		var sum, n [2]float64
		for i, y := range o.Y {
			if which := slices.Index([]string{a, b}, order[i]); which >= 0 && units.Known(y) {
				sum[which] += y
				n[which]++
			}
		}
		if n[0] == 0 || n[1] == 0 {
			return nil, 0
		}
		list = append(list, sum[0]/n[0]-sum[1]/n[1])
	}
	n, m := planned(o.Orders[0], a), planned(o.Orders[0], b)
	return list, float64(n * m / (n + m)) // the same for every order, or it would not be the draw alone
}

func planned(order []string, shoe string) (n float64) {
	for _, s := range order {
		if s == shoe {
			n++
		}
	}
	return n
}
