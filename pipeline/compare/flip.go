package compare

// Flip returns the comparison seen from the other shoe. What would erase the one
// difference erases the other, so the tipping points stay.
func (c *Comparison) Flip() Comparison {
	f := *c
	f.Shoe, f.Reference = c.Reference, c.Shoe
	f.behind.shoe, f.behind.reference = c.behind.reference, c.behind.shoe
	f.LogEstimate = -c.LogEstimate
	f.Estimate, f.Low, f.High = c.mirror(c.Estimate), c.mirror(c.High), c.mirror(c.Low)
	f.CautiousLow, f.CautiousHigh = c.mirror(c.CautiousHigh), c.mirror(c.CautiousLow)
	f.Adjustment = f.Estimate - c.mirror(c.Estimate-c.Adjustment)
	f.WithoutLow, f.WithoutHigh = c.mirror(c.WithoutHigh), c.mirror(c.WithoutLow)
	f.PredictionLow, f.PredictionHigh = c.mirror(c.PredictionHigh), c.mirror(c.PredictionLow)
	if c.Outlying.Block != "" {
		f.Outlying.Estimate = c.mirror(c.Outlying.Estimate)
	}
	f.PerRunner = append([]RunnerEstimate(nil), c.PerRunner...)
	for i := range f.PerRunner {
		r := &f.PerRunner[i]
		r.Estimate, r.Low, r.High = c.mirror(r.Estimate), c.mirror(r.High), c.mirror(r.Low)
	}
	return f
}

// mirror turns a difference of A against B into that of B against A: on the
// percent scale 1/(1+x) - 1, on a raw scale -x.
func (c *Comparison) mirror(x float64) float64 {
	if !c.Outcome.Info().Ratio {
		return -x
	}
	return float64(100 * (1/(1+x/100) - 1))
}
