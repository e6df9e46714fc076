package compare

import (
	"math"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// blank returns a comparison in which nothing is known yet.
func blank(outcome trial.Outcome, effort trial.Effort, level, shoe, reference string) Comparison {
	m := units.Missing
	return Comparison{
		Outcome: outcome, Effort: effort, Level: level, Shoe: shoe, Reference: reference,
		LogEstimate: m, LogSE: m, DF: m, Estimate: m, Low: m, High: m, P: m, PAdjusted: m, BetweenSD: m, ResidualSD: m,
		DriftPerHour: m, DriftSE: m, TippingDrift: m, Adjustment: m, Evidence: NoEvidence,
	}
}

// pair reads the comparison of two shoes off a fitted model.
func (f *fitted) pair(shoe, reference string, confidence float64) Comparison {
	g := f.group
	c := blank(g.outcome, g.effort, g.level, shoe, reference)
	c.Model, c.Notes = f.model, append([]string(nil), f.notes...)
	c.count(g)
	estimate := f.fit.Contrast(f.contrast(shoe, reference))
	c.LogEstimate = estimate.Value
	c.Estimate = percent(g.outcome, estimate.Value)
	if f.model != DifferenceOnly {
		c.LogSE, c.DF, c.P = estimate.SE, estimate.DF, estimate.P()
		low, high := estimate.Interval(confidence)
		c.Low, c.High = percent(g.outcome, low), percent(g.outcome, high)
		c.ResidualSD = f.fit.Sigma
	}
	if f.driftCol >= 0 {
		c.drift(f)
	}
	if pull := f.pull(shoe, reference); math.Abs(pull) > 1e-9 {
		c.TippingDrift = percent(g.outcome, c.LogEstimate/pull)
	}
	if g.held {
		c.Adjustment = c.Estimate - percent(g.outcome, f.unadjusted(shoe, reference))
	}
	return c
}

func (c *Comparison) count(g group) {
	pair := g.only(func(r row) bool { return r.Shoe == c.Shoe || r.Shoe == c.Reference })
	c.Blocks, c.Sessions, c.Runners = len(pair.rows), len(pair.sessions()), len(pair.runners())
}

// drift reads the drift and its standard error, both in the unit of report.
func (c *Comparison) drift(f *fitted) {
	contrast := make([]float64, f.columns)
	contrast[f.driftCol] = 1
	e := f.fit.Contrast(contrast)
	c.DriftPerHour = percent(c.Outcome, e.Value)
	c.DriftSE = e.SE
	if c.Outcome.Info().Ratio {
		c.DriftSE = float64(100 * e.SE)
	}
}

// unadjusted refits the model to the outcome as measured and returns the
// difference.
func (f *fitted) unadjusted(shoe, reference string) float64 {
	raw := make([]float64, len(f.group.rows))
	for i, r := range f.group.rows {
		raw[i] = r.y - r.adjusted
	}
	times, _ := centredHours(f.group)
	fit, err := stats.LeastSquares(f.design(f.group.sessions(), times), raw)
	if err != nil {
		return units.Missing
	}
	return fit.Contrast(f.contrast(shoe, reference)).Value
}

// orient returns the two shoes of a pair as (shoe, reference): the dataset's
// reference shoe is the reference where it is in the pair, otherwise the id that
// sorts first.
func orient(a, b, reference string) (shoe, against string) {
	if b < a {
		a, b = b, a
	}
	if b == reference {
		return a, b
	}
	return b, a
}
