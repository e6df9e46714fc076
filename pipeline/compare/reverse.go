package compare

// Reverse returns the comparison seen from the other shoe. What would erase the one
// difference erases the other, so the tipping points stay.
func (c *Comparison) Reverse() Comparison {
	r := *c
	r.Shoe, r.Reference = c.Reference, c.Shoe
	r.basis.shoeBlocks, r.basis.referenceBlocks = c.basis.referenceBlocks, c.basis.shoeBlocks
	r.LogEstimate = -c.LogEstimate
	r.Estimate, r.Low, r.High = c.mirror(c.Estimate), c.mirror(c.High), c.mirror(c.Low)
	r.Adjustment = r.Estimate - c.mirror(c.Estimate-c.Adjustment)
	r.WithoutLow, r.WithoutHigh = c.mirror(c.WithoutHigh), c.mirror(c.WithoutLow)
	r.PredictionLow, r.PredictionHigh = c.mirror(c.PredictionHigh), c.mirror(c.PredictionLow)
	if c.Outlying.Block != "" {
		r.Outlying.Estimate = c.mirror(c.Outlying.Estimate)
	}
	r.PerRunner = append([]RunnerEstimate(nil), c.PerRunner...)
	for i := range r.PerRunner {
		own := &r.PerRunner[i]
		own.Estimate, own.Low, own.High = c.mirror(own.Estimate), c.mirror(own.High), c.mirror(own.Low)
	}
	return r
}

// mirror turns a difference of A against B into that of B against A: on the
// percent scale 1/(1+x) - 1, on a raw scale -x.
func (c *Comparison) mirror(x float64) float64 {
	if !c.Outcome.Info().Ratio {
		return -x
	}
	return float64(100 * (1/(1+x/100) - 1))
}
