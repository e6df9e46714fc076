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
		DriftPerHour: m, DriftSE: m, TippingDrift: m, TippingInterval: m, Adjustment: m, PredictionLow: m, PredictionHigh: m,
		WithoutLow: m, WithoutHigh: m, Evidence: NoEvidence,
	}
}

// pair reads the comparison of two shoes off a fitted model.
func (f *fitted) pair(shoe, reference string, confidence float64) Comparison {
	g := f.group
	c := blank(g.outcome, g.effort, g.level, shoe, reference)
	c.Model, c.Notes, c.holdsDays = f.model, append([]string(nil), f.notes...), f.days
	c.count(g)
	estimate := f.estimate(shoe, reference)
	if f.model == DifferenceOnly {
		estimate.SE, estimate.DF = units.Missing, units.Missing
	} else {
		c.ResidualSD = math.Sqrt(f.fit.Sigma2)
	}
	c.set(estimate, confidence)
	if f.model == Mixed {
		c.BetweenSD = math.Sqrt(f.fit.SigmaB2)
	}
	if f.drift {
		c.setDrift(f)
	}
	c.tip(f.pull(shoe, reference), confidence)
	if g.held {
		c.Adjustment = c.Estimate - percent(g.outcome, f.unadjusted(shoe, reference))
	}
	return c
}

// set fills everything that follows from an estimate and its uncertainty.
func (c *Comparison) set(e stats.Estimate, confidence float64) {
	c.LogEstimate, c.Estimate = e.Value, percent(c.Outcome, e.Value)
	if !(e.DF > 0) || !units.Known(e.SE) {
		return
	}
	c.LogSE, c.DF, c.P = e.SE, e.DF, e.P()
	low, high := e.Interval(confidence)
	c.Low, c.High = percent(c.Outcome, low), percent(c.Outcome, high)
}

func (c *Comparison) count(g group) {
	pair := g.only(func(r row) bool { return r.Shoe == c.Shoe || r.Shoe == c.Reference })
	c.Blocks, c.Sessions, c.Runners = len(pair.rows), len(pair.sessions()), len(pair.runners())
}

// setDrift reads the drift and its standard error, both in the unit of report.
func (c *Comparison) setDrift(f *fitted) {
	contrast := f.zeros()
	contrast[len(f.shoes)] = 1
	e := f.fit.Contrast(contrast, stats.Satterthwaite)
	c.DriftPerHour, c.DriftSE = percent(c.Outcome, e.Value), e.SE
	if c.Outcome.Info().Ratio {
		c.DriftSE = float64(100 * e.SE)
	}
}

// tip finds the drift per block that would make the estimate by itself, and the
// one that would bring the nearer end of the interval to zero. In a balanced
// order no straight drift can do either.
func (c *Comparison) tip(pull, confidence float64) {
	if !(math.Abs(pull) > 1e-9) {
		return
	}
	c.TippingDrift = percent(c.Outcome, c.LogEstimate/pull)
	if !c.Told() {
		return
	}
	half := float64(stats.StudentQuantile((1+confidence)/2, c.DF) * c.LogSE)
	near := math.Copysign(math.Abs(c.LogEstimate)-half, c.LogEstimate)
	c.TippingInterval = percent(c.Outcome, near/pull)
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
