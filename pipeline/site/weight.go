package site

import (
	"fmt"
	"strings"

	"soletrial/pipeline/figure"
	"soletrial/pipeline/forecast"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// weightBody splits a difference in speed into weight and the rest.
type weightBody struct {
	Picture picture
	Words   string
	Table   table
}

// weight splits the shoe's difference from the reference shoe in two; nil where
// no speed was compared or a mass is missing.
func (s *site) weight(registered *trial.Shoe) *weightBody {
	for _, e := range s.effects() {
		reference := s.ds.Shoe(e.Reference)
		if e.Shoe != registered.ID || reference == nil {
			continue
		}
		w := forecast.SplitWeight(e, registered.MassG, reference.MassG, s.ds.Facts.Method.WeightPctPer100g)
		if units.Known(w.Expected.Min) && units.Known(w.Rest.Min) {
			return s.split(e, w)
		}
	}
	return nil
}

// effects are the differences in speed from the reference, by the answer in speed that the
// headline tells, or else the first.
func (s *site) effects() (effects []forecast.Effect) {
	e, g := s.speaker.Answers.Top()
	for i := 0; (g == nil || e.Outcome != trial.Speed) && i < len(s.speaker.Answers.Efforts); i++ {
		e = &s.speaker.Answers.Efforts[i]
		g = e.Main()
	}
	if g == nil || e.Outcome != trial.Speed {
		return nil
	}
	reference := g.Reference()
	for i := range g.Places {
		if p := &g.Places[i]; !p.Reference {
			d := percentEstimate(p.Against)
			effects = append(effects, forecast.Effect{Shoe: p.Shoe, Reference: reference, Estimate: d.Value, Low: d.Low,
				High: d.High, DayLow: units.Missing, DayHigh: units.Missing, TestSpeed: e.MeanSpeed(reference)})
		}
	}
	return effects
}

// split draws the parts by the first curve and tells the range over all of them.
func (s *site) split(e forecast.Effect, w forecast.Weight) *weightBody {
	first := w.ByCurve[0]
	asEstimate := func(p forecast.Part) figure.Estimate {
		return figure.Estimate{Value: p.Value, Low: p.Low, High: p.High}
	}
	measured := figure.Estimate{Value: e.Estimate, Low: e.Low, High: e.High}
	expected, rest := asEstimate(first.Expected), asEstimate(first.Rest)
	title := s.label(e.Shoe) + " against " + s.label(e.Reference) + ": weight and the rest"
	words := func(e figure.Estimate) string { return difference(e, trial.Speed) }
	// The figure shows one curve, the table all of them.
	f := figure.Weight{
		Head: figure.Head{ID: "weight", Title: title, Desc: "Measured " + words(measured) + "; expected from weight " +
			words(expected) + "; the rest " + words(rest) + "."},
		Axis: "% faster than " + s.label(e.Reference) + ": right is faster", Unit: "%", Decimals: estimateDecimals,
		Shoe:     s.place(e.Shoe),
		Measured: measured, Expected: expected, Rest: rest,
	}
	rows := [][]cell{{text("measured"), numeric(words(measured))}}
	for _, c := range w.ByCurve {
		rows = append(rows,
			[]cell{
				text("expected from weight by " + curveAuthor(c.Curve) + " (published range of the cost)"),
				numeric(words(asEstimate(c.Expected))),
			},
			[]cell{text("not explained by weight, by " + curveAuthor(c.Curve)), numeric(words(asEstimate(c.Rest)))})
	}
	return &weightBody{
		Picture: bothWidths(f, "The bar is the time expected from the energy cost of the difference in mass. The "+
			"thin line is its published range. Both are by the curve of "+curveAuthor(first.Curve)+"."),
		Words: weightWords(s.label(e.Shoe), s.label(e.Reference), w.MassDifferenceG, rest),
		Table: table{Caption: title, Head: columns("Part", "#Difference in speed"), Rows: rows},
	}
}

// curveAuthor names a published curve by who published it and when.
func curveAuthor(name string) string {
	for _, curve := range forecast.Curves {
		if curve.Name != name {
			continue
		}
		words := strings.Fields(curve.Source)
		for i, word := range words {
			if year := strings.TrimRight(word, ",:"); len(year) == 4 && strings.Trim(year, "0123456789") == "" {
				return strings.Join(append(words[:i:i], year), " ")
			}
		}
		author, _, _ := strings.Cut(curve.Source, ",")
		return author
	}
	return name
}

func weightWords(shoe, reference string, heavier float64, rest figure.Estimate) string {
	weighs := "weighs the same as"
	switch grams := figure.Plain(max(heavier, -heavier), 0); {
	case heavier > 0:
		weighs = "is " + grams + " g per shoe heavier than"
	case heavier < 0:
		weighs = "is " + grams + " g per shoe lighter than"
	}
	switch {
	case !rest.Bounded():
		return fmt.Sprintf("%s %s %s. Without an interval the rest may be anything.", shoe, weighs,
			reference)
	case !rest.Apart():
		return fmt.Sprintf("%s %s %s. The part that weight does not explain may be zero.", shoe, weighs,
			reference)
	}
	return fmt.Sprintf("%s %s %s. Part of the difference is not explained by weight: foam, plate, fit, sensor or "+
		"chance, and this trial cannot say which.", shoe, weighs, reference)
}
