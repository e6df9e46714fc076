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
		Outcome: g.outcome, Effort: g.effort, Level: g.level, Shoe: g.index.shoes[p.shoe], Reference: g.index.shoes[p.reference],
		LogEstimate: m, LogSE: m, DF: m, Estimate: m, Low: m, High: m, P: m, PAdjusted: m, CautiousLow: m, CautiousHigh: m, BetweenSD: m, ResidualSD: m,
		DriftPerHour: m, DriftSE: m, TippingDrift: m, TippingInterval: m, Adjustment: m, PredictionLow: m, PredictionHigh: m,
		WithoutLow: m, WithoutHigh: m, SensorErrorPct: m, ByDraw: ByDraw{P: m, AtEnd: m}, Evidence: NoEvidence,
	}
}

// difference reads estimate and interval of a fit's k-th pair into a blank
// comparison, and nothing else.
func (run *runner) difference(c Comparison, f *Fit, k int) Comparison {
	c.Model, c.holdsDays = f.Model, f.Days
	estimate := f.Pairs[k].Estimate
	if f.Model == DifferenceOnly {
		estimate.SE, estimate.DF = units.Missing, units.Missing
	}
	run.set(&c, estimate)
	run.beCautious(&c, f)
	return c
}

// complete fills in what belongs to a difference within a part.
func (run *runner) complete(c *Comparison, part group, f *Fit, k int) {
	c.Notes = append([]string(nil), f.Notes...)
	if !units.Known(c.Low) && c.half >= widest {
		c.Notes = append(c.Notes, "no interval is given: there is so little to judge the spread from that it would be beyond all numbers")
	}
	if c.cautioned() {
		c.Notes = append(c.Notes, c.caution())
	}
	c.Runners, c.behind.alike = 1, f.Alike
	if f.Model != DifferenceOnly {
		c.ResidualSD = math.Sqrt(f.Sigma2)
	}
	if f.Model == Mixed {
		c.BetweenSD = math.Sqrt(f.SigmaB2)
	}
	if f.Drifts {
		c.setDrift(f.Drift)
	}
	p := &f.Pairs[k]
	run.tip(c, p.Pull)
	if units.Known(p.Unadjusted) {
		c.Adjustment = c.Estimate - percent(c.Outcome, p.Unadjusted)
	}
	c.WithoutLow, c.WithoutHigh = p.Without.Low, p.Without.High
	if p.Without.Any {
		out := part.rows[p.Without.Row]
		c.Outlying = Outlying{Session: out.Session, Block: out.Block, Estimate: p.Without.Estimate}
	}
}

// set fills everything that follows from an estimate and its uncertainty.
func (run *runner) set(c *Comparison, e stats.Estimate) {
	c.LogEstimate, c.Estimate = e.Value, percent(c.Outcome, e.Value)
	if !(e.DF > 0) || !units.Known(e.SE) {
		return
	}
	c.LogSE, c.DF = e.SE, e.DF
	if e.SE > 0 {
		c.P = e.P()
	}
	if c.half = float64(run.quantile(e.DF) * e.SE); c.half < widest {
		c.Low, c.High = percent(c.Outcome, e.Value-c.half), percent(c.Outcome, e.Value+c.half)
	}
}

// widest is where an interval ends to be a number: a fraction of a degree of
// freedom can stretch it beyond what e to its power can say.
const widest = 700

// quantile returns the t quantile of the intervals. The same degrees of freedom
// come back in every session and outcome.
func (run *runner) quantile(df float64) float64 {
	q := run.quantiles
	q.Lock()
	t, known := q.known[df]
	q.Unlock()
	if !known { // two may find it at the same time, and find the same
		t = stats.StudentQuantile((1+run.method.Confidence)/2, df)
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

// tip finds the drift per block that would make the estimate by itself, and the
// one that would bring the nearer end of the interval to zero. In a balanced
// order no straight drift can do either.
func (run *runner) tip(c *Comparison, pull float64) {
	if !(math.Abs(pull) > 1e-9) {
		return
	}
	c.TippingDrift = percent(c.Outcome, c.LogEstimate/pull)
	if c.aside() {
		half := float64(run.quantile(c.DF) * c.LogSE)
		near := math.Copysign(math.Abs(c.LogEstimate)-half, c.LogEstimate)
		c.TippingInterval = percent(c.Outcome, near/pull)
	}
}

// count takes over how much there is of two shoes, and what speaks against it.
func (run *runner) count(c *Comparison, p pair, t *tally) {
	b := &c.behind
	b.shoe, b.reference = t.blocks[p.shoe], t.blocks[p.reference]
	b.fewest = min(len(t.sessions[p.shoe]), len(t.sessions[p.reference]))
	c.Blocks, c.Sessions = b.shoe+b.reference, 0
	t.either(p, func(session int) {
		c.Sessions++
		if run.confounded[session] {
			b.confounded++
		}
		if run.product[session] {
			b.product++
		}
		if run.unplanned[session] {
			b.unplanned++
		}
	})
}

// percent turns a difference on the analysis scale into the unit of report.
func percent(outcome trial.Outcome, x float64) float64 {
	if !outcome.Info().Ratio || !units.Known(x) {
		return x
	}
	return float64(100 * stats.Expm1(x))
}
