package compare

import (
	"fmt"
	"math"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/units"
)

// RunnerEstimate is one runner's own estimate behind a pooled one, in the unit
// of report.
type RunnerEstimate struct {
	Runner              string
	Model               Model
	Estimate, Low, High float64
}

// pool combines the comparisons of several runners by random effects: REML
// between-runner variance, the interval of Hartung & Knapp (2001) and Sidik &
// Jonkman (2002) with the safeguard that it may not be narrower than the usual
// one, and a prediction interval for a runner who was not there. Each runner's
// own estimate stays visible. Own are the comparisons, one per runner, of the
// same two shoes.
func (a *analysis) pool(own []runnerComparison, c Comparison) Comparison {
	c.Model, c.acrossSessions = PooledRunners, true
	// Estimates and variances of those who have both.
	var y, v []float64
	for _, o := range own {
		c.Sessions, c.Blocks = c.Sessions+o.Sessions, c.Blocks+o.Blocks
		c.basis.add(&o.basis)
		c.PerRunner = append(c.PerRunner, RunnerEstimate{o.runner, o.Model, o.Estimate, o.Low, o.High})
		c.acrossSessions = c.acrossSessions && o.acrossSessions
		if o.LogSE > 0 {
			y, v = append(y, o.LogEstimate), append(v, float64(o.LogSE*o.LogSE))
		}
	}
	c.Runners = len(own)
	// Random effects.
	pooled, err := stats.Pool(y, v, stats.PoolREML)
	if err != nil || len(y) < 2 {
		return a.unpooled(own, c)
	}
	a.setEstimate(&c, pooled.Safe)
	c.BetweenSD = math.Sqrt(pooled.Tau2)
	low, high := pooled.Prediction(pooled.Safe, a.method.Confidence)
	c.PredictionLow, c.PredictionHigh = percent(c.Outcome, low), percent(c.Outcome, high)
	c.Adjustment = c.Estimate - percent(c.Outcome, c.LogEstimate-meanAdjustment(own))
	// What it was made from.
	c.Notes = []string{fmt.Sprintf("random effects over %d runners, each compared within their own sessions", len(y)),
		c.eachRunner()}
	if len(y) < len(own) {
		c.Notes = append(c.Notes, leftOut(len(own)-len(y)))
	}
	return c
}

// leftOut says how many runners have no interval of their own and no part in the estimate.
func leftOut(n int) string {
	return units.Plural(n, "runner without an interval is", "runners without an interval are") + " excluded"
}

// eachRunner lists what the pooled estimate was made from, and what it says of a
// runner who was not there. A sign stands also before what is printed as zero.
func (c *Comparison) eachRunner() string {
	signed := func(x float64) string {
		if x > 0 {
			return "+" + units.FormatDecimal(x, 2)
		}
		return units.FormatDecimal(x, 2)
	}
	text := "each runner alone:"
	for i, r := range c.PerRunner {
		if i > 0 {
			text += ","
		}
		text += " " + r.Runner + " " + signed(r.Estimate) + c.unitText()
	}
	return text + "; for a new runner " +
		signed(c.PredictionLow) + " to " + signed(c.PredictionHigh) + c.unitText()
}

// unpooled is what is left when fewer than two runners have an interval of their
// own: the comparison of the one who has, or else the plain mean without one. C
// holds what the runners have in common.
func (a *analysis) unpooled(own []runnerComparison, c Comparison) Comparison {
	for _, o := range own {
		if o.LogSE > 0 {
			one := o.Comparison
			one.PerRunner = c.PerRunner
			one.Notes = append(append([]string(nil), one.Notes...),
				fmt.Sprintf("only runner %q has an interval", o.runner), leftOut(len(own)-1))
			return one
		}
	}
	c.Model = DifferenceOnly
	c.Notes = []string{
		"no runner has an interval, so nothing can be pooled; the estimate is the plain mean",
	}
	c.LogEstimate = meanLog(own)
	c.Estimate = percent(c.Outcome, c.LogEstimate)
	return c
}

// add takes in what stands behind one more runner's comparison.
func (b *basis) add(o *basis) {
	b.shoeBlocks += o.shoeBlocks
	b.referenceBlocks += o.referenceBlocks
	b.minSessions += o.minSessions
	b.confounded += o.confounded
	b.stepProduct += o.stepProduct
	b.unplanned += o.unplanned
	b.noSpread = b.noSpread || o.noSpread
}

func meanLog(own []runnerComparison) float64 {
	sum := 0.0
	for _, o := range own {
		sum += o.LogEstimate
	}
	return sum / float64(len(own))
}

// meanAdjustment averages, on the analysis scale, how far the equal-effort
// adjustment moved the runners' estimates; 0 where none was made.
func meanAdjustment(own []runnerComparison) float64 {
	sum, n := 0.0, 0.0
	for _, o := range own {
		if units.Known(o.Adjustment) && o.LogSE > 0 {
			moved := o.Adjustment
			if o.Outcome.Info().Ratio {
				moved = o.LogEstimate - stats.Log1p((o.Estimate-o.Adjustment)/100)
			}
			sum += moved
			n++
		}
	}
	if n == 0 {
		return units.Missing
	}
	return sum / n
}
