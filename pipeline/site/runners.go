package site

import (
	"cmp"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/units"
)

// runnersOf lists, for each comparison of several runners, every runner's own
// difference, the mean of them, how much they differ, and between what bounds a
// runner who was not there is to be expected.
func (s *site) runnersOf(pairs []compare.Comparison, about, root string) table {
	confidence := percentOf(s.ds.Facts.Method.Confidence) + " %"
	t := table{Caption: about + ": runner by runner, each with the " + confidence + " interval",
		Head: columns("Shoe", "Against", "Outcome", "Runner", "#Difference")}
	for i := range pairs {
		c := &pairs[i]
		if len(c.PerRunner) < 2 {
			continue
		}
		row := func(who, difference string) {
			t.Rows = append(t.Rows, []cell{
				shoeCell(s.shoe(c.Shoe, root)), shoeCell(s.shoe(c.Reference, root)), text(c.Outcome.Info().Label + " " +
					compare.AtLevel(c.Level)), text(who), numeric(difference),
			})
		}
		// Each runner, their mean, and a runner to come.
		for _, own := range c.PerRunner {
			row(s.runnerLabel(own.Runner),
				difference(figure.Estimate{Value: own.Estimate, Low: own.Low, High: own.High}, c.Outcome))
		}
		row("all of them, the mean", difference(estimateOf(c), c.Outcome))
		if units.Known(c.PredictionLow) {
			row("how much runners differ, standard deviation", spread(c))
			row("a new runner, "+confidence+" prediction",
				figure.Signed(c.PredictionLow, estimateDecimals)+" to "+amount(c.PredictionHigh, c.Outcome))
		}
	}
	return t
}

// spread is the standard deviation between runners; of logarithms it is near enough
// to percent.
func spread(c *compare.Comparison) string {
	if c.Outcome.Info().Ratio {
		return figure.Plain(100*c.BetweenSD, estimateDecimals) + "\u00a0%"
	}
	return figure.Plain(c.BetweenSD, estimateDecimals) + "\u00a0" + unitOf(c.Outcome)
}

func (s *site) runnerLabel(id string) string {
	if r := s.ds.Runner(id); r != nil {
		return cmp.Or(r.Label, r.ID)
	}
	return id
}
