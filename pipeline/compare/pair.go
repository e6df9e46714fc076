package compare

import (
	"math"
	"sync"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// blank returns a comparison in which nothing is known yet.
func (g group) blank(p pair) Comparison {
	m := units.Missing
	return Comparison{
		Outcome: g.outcome, Effort: g.effort, Level: g.level,
		Shoe: g.index.shoes[p.shoe], Reference: g.index.shoes[p.reference],
		LogEstimate: m, LogSE: m, DF: m, Estimate: m, Low: m, High: m, P: m, PAdjusted: m,
		BetweenSD: m, ResidualSD: m,
		DriftPerHour: m, DriftSE: m, TippingDrift: m, Adjustment: m, SensorErrorPct: m,
		PredictionLow: m, PredictionHigh: m, WithoutLow: m, WithoutHigh: m,
		Randomisation: Randomisation{P: m, PAtEnds: m}, Evidence: NoEvidence,
	}
}

// difference is a comparison of which only estimate and interval are filled in, from
// the model of a part that has both shoes.
func (a *analysis) difference(m *model, p pair) Comparison {
	c := m.group.blank(p)
	c.Model, c.acrossSessions = m.kind, m.acrossDays
	estimate := m.estimate(p)
	if m.kind == DifferenceOnly {
		estimate.SE, estimate.DF = units.Missing, units.Missing
	}
	a.setEstimate(&c, estimate)
	return c
}

// explain fills in what the model says besides estimate and interval.
func (a *analysis) explain(c *Comparison, m *model, p pair) {
	c.Notes = append([]string(nil), m.notes...)
	if !units.Known(c.Low) && c.halfWidth >= maxHalfWidth {
		c.Notes = append(c.Notes,
			"no interval: there are too few data to estimate the spread")
	}
	// Spread.
	c.Runners, c.basis.noSpread = 1, m.fit.Status == stats.ExactFit
	if m.kind != DifferenceOnly {
		c.ResidualSD = math.Sqrt(m.fit.Sigma2)
	}
	if m.kind == Mixed {
		c.BetweenSD = math.Sqrt(m.fit.SigmaB2)
	}
	// Drift, taken out or not.
	if m.drift {
		c.setDrift(m.driftPerHour())
	} else {
		setTippingDrift(c, m.driftLeverage(p))
	}
	// Adjustment to equal effort.
	if m.group.held {
		if unadjusted := m.unadjusted(p); units.Known(unadjusted) {
			c.Adjustment = c.Estimate - percent(c.Outcome, unadjusted)
		}
	}
}

// setEstimate fills everything that follows from an estimate and its uncertainty.
func (a *analysis) setEstimate(c *Comparison, e stats.Estimate) {
	c.LogEstimate, c.Estimate = e.Value, percent(c.Outcome, e.Value)
	if !(e.DF > 0) || !units.Known(e.SE) {
		return
	}
	c.LogSE, c.DF = e.SE, e.DF
	if e.SE > 0 {
		c.P = e.P()
	}
	if c.halfWidth = float64(a.quantile(e.DF) * e.SE); c.halfWidth < maxHalfWidth {
		c.Low, c.High = percent(c.Outcome, e.Value-c.halfWidth), percent(c.Outcome, e.Value+c.halfWidth)
	}
}

// maxHalfWidth is where an interval ends to be a number: a fraction of a degree of
// freedom can stretch it beyond what e to its power can say.
const maxHalfWidth = 700

// quantile returns the t quantile of the intervals. The same degrees of freedom
// come back in every session and outcome.
func (a *analysis) quantile(df float64) float64 {
	q := a.quantiles
	q.Lock()
	t, known := q.known[df]
	q.Unlock()
	if !known { // two may find it at the same time, and find the same
		t = stats.StudentQuantile((1+a.method.Confidence)/2, df)
		q.Lock()
		q.known[df] = t
		q.Unlock()
	}
	return t
}

// quantiles are those asked for so far, by degrees of freedom.
type quantiles struct {
	sync.Mutex
	known map[float64]float64
}

// setDrift takes the drift and its standard error, both in the unit of report.
func (c *Comparison) setDrift(e stats.Estimate) {
	c.DriftPerHour, c.DriftSE = percent(c.Outcome, e.Value), e.SE
	if c.Outcome.Info().Ratio {
		c.DriftSE = float64(100 * e.SE)
	}
}

// setTippingDrift finds the drift per block that would make the estimate by itself. In a
// balanced order no straight drift can do it. Leverage is [model.driftLeverage].
func setTippingDrift(c *Comparison, leverage float64) {
	if !(math.Abs(leverage) > 1e-9) {
		return
	}
	c.TippingDrift = percent(c.Outcome, c.LogEstimate/leverage)
}

// count fills in how much there is of two shoes, and what speaks against it.
func (a *analysis) count(c *Comparison, p pair, t *tally) {
	b := &c.basis
	b.shoeBlocks, b.referenceBlocks = t.blocks[p.shoe], t.blocks[p.reference]
	b.minSessions = min(len(t.sessions[p.shoe]), len(t.sessions[p.reference]))
	c.Blocks, c.Sessions = b.shoeBlocks+b.referenceBlocks, 0
	t.eachSession(p, func(session int) {
		c.Sessions++
		doubt := a.doubts[session]
		b.confounded += asInt(doubt.confounded)
		b.stepProduct += asInt(doubt.stepProduct)
		b.unplanned += asInt(doubt.unplanned)
	})
}

func asInt(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// percent turns a difference on the analysis scale into the unit of report.
func percent(outcome trial.Outcome, x float64) float64 {
	if !outcome.Info().Ratio || !units.Known(x) {
		return x
	}
	return float64(100 * stats.Expm1(x))
}
