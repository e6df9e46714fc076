package forecast

import (
	"slices"

	"soletrial/pipeline/units"
)

// What 100 g more on each shoe costs, percent of metabolic rate: the ends of the published
// 95 % interval about 1.11 (Hoogkamer et al. 2016, doi 10.1249/MSS.0000000000001012; from
// memory of its abstract). The 1.0 of Frederick 1984 and Franz 2012 (doi
// 10.1249/MSS.0b013e3182514a88) lies between.
const (
	MinCostPer100g = 0.88
	MaxCostPer100g = 1.35
)

// WeightGain returns the gain in speed at v m/s, by one curve, that a shoe's mass leads one
// to expect: every 100 g more on each shoe cost costPer100g percent of energy, and at equal
// metabolic rate the runner slows until the curve is that much lower,
// (1 + cost) f(v1) = f(v). Negative for a heavier shoe; missing where grams are.
func (c Curve) WeightGain(v, grams, costPer100g float64) float64 {
	if !units.Known(grams) || !units.Known(v) {
		return units.Missing
	}
	return c.Gain(v, -costOf(grams, costPer100g))
}

// costOf is the share of energy that grams on each shoe cost.
func costOf(grams, costPer100g float64) float64 { return float64(grams*costPer100g) / 1e4 }

// Part is a part of a difference by one curve: the estimate and its interval.
type Part struct{ Value, Low, High float64 }

// minus takes a fixed number off a part; its interval keeps its width.
func (p Part) minus(x float64) Part { return Part{p.Value - x, p.Low - x, p.High - x} }

// CurveWeight is a difference by one curve, split into what the shoes' masses lead one to
// expect and the rest. The interval of Expected goes with the published range of the energy
// cost, that of Rest with the measurement's.
type CurveWeight struct {
	Curve          string
	Expected, Rest Part
}

// Weight is a difference in speed at equal effort, split in percent of the test speed.
type Weight struct {
	MassDifferenceG float64 // of one shoe against one shoe of the reference
	ByCurve         []CurveWeight
	Expected, Rest  Range // over the curves
}

// SplitWeight takes from an effect what the energy cost of the shoes' mass explains at the
// speed of the test. Masses are of ONE shoe, in grams; where one is missing so is all but
// MassDifferenceG. costPer100g is percent of energy.
func SplitWeight(e Effect, shoeG, referenceG, costPer100g float64) Weight {
	w := Weight{MassDifferenceG: shoeG - referenceG}
	var expected, rest []Part
	for _, c := range Curves {
		part := weightPart(costPer100g, func(k float64) float64 {
			return float64(100 * c.WeightGain(e.TestSpeed, w.MassDifferenceG, k))
		})
		split := CurveWeight{c.Name, part, Part{e.Estimate, e.Low, e.High}.minus(part.Value)}
		w.ByCurve = append(w.ByCurve, split)
		expected, rest = append(expected, split.Expected), append(rest, split.Rest)
	}
	w.Expected, w.Rest = rangeOf(expected), rangeOf(rest)
	return w
}

// weightPart evaluates what a cost per 100 g explains at the cost itself and at the ends of
// its published range, which the cost itself widens where it lies outside.
func weightPart(costPer100g float64, explained func(k float64) float64) Part {
	value := explained(costPer100g)
	ends := []float64{value, explained(MinCostPer100g), explained(MaxCostPer100g)}
	return Part{value, slices.Min(ends), slices.Max(ends)}
}
