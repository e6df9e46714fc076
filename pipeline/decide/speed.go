package decide

import "math"

// InSpeed turns a pair's difference in heart rate at a held pace into one in speed, d/k: how
// much faster the better shoe would be at the same heart rate, by the exponent k of heart
// rate over speed, with its error. It is indirect, and an answer that uses it says so. It is
// of the pair's long-run difference; ok is false where the model has no exponent.
//
// For k > 0, P(d/k < x) = P(d - x k < 0), which is normal at each node. The mean and the SD
// of a ratio do not exist: Mean is the median, and SD a quarter of the 95 % interval.
func (p *Posterior) InSpeed(a, b int, sensor Sensor) (d Difference, ok bool) {
	if !p.Terms.Exponent || p.settings.Prior.Exponent.Mean <= 0 || a == b || p.group[a] != p.group[b] {
		return Difference{}, false
	}
	// The difference in speed is that of the outcome over the exponent: P(d <= x) = P(outcome - k x <= 0).
	table, at := normalTable(), p.withExponent(a, b, sensor)
	cdf := func(x float64) float64 {
		below, _ := at.lessTimes(x).cdf(table, 0)
		return below
	}
	outcome, k := p.Difference(a, b, sensor), p.Spreads.K.Mean
	// Its quantiles by Newton steps from those of the outcome over the mean exponent.
	quantile := func(q, start float64) float64 {
		scale := outcome.SD / k
		return solve(q, start/k, scale, func(x float64) (float64, float64) {
			const h = 1e-3
			return cdf(x), (cdf(x+float64(h*scale)) - cdf(x-float64(h*scale))) / (2 * float64(h*scale))
		})
	}
	w := p.settings.LogWorthwhile()
	d = Difference{
		Low: quantile(0.025, outcome.Low), Median: quantile(0.5, outcome.Median), High: quantile(0.975, outcome.High),
		Above: 1 - cdf(0), AboveWorthwhile: 1 - cdf(w), Within: cdf(w) - cdf(-w),
	}
	d.Mean, d.SD = d.Median, (d.High-d.Low)/4
	// By how much the two are apart at most.
	d.ApartAtMost = solve(apartChance, outcome.ApartAtMost/k, outcome.SD/k, func(x float64) (float64, float64) {
		const h = 1e-3
		step := float64(h * outcome.SD / k)
		within := func(x float64) float64 { return cdf(x) - cdf(-x) }
		return within(x), (within(x+step) - within(x-step)) / (2 * step)
	})
	return d, true
}

// withExponent is the joint distribution of a difference and the exponent k: at each node their
// means, their variances and their covariance.
type withExponent struct {
	mean, variance, k, kVariance, cross []float64
	less                                *mixture // room for lessTimes
}

func (p *Posterior) withExponent(a, b int, sensor Sensor) *withExponent {
	correction, blur := sensor.pair(a, b)
	favour, prior := p.favour(), p.settings.Prior.Exponent.Mean
	w := &withExponent{less: newMixture(len(p.nodes))}
	for i := range p.nodes {
		at := &p.nodes[i]
		mean, variance := at.contrast(a, b)
		k, kVariance, cross := prior, 0.0, 0.0
		for c, col := range p.columns {
			if col.kind == exponentColumn {
				k += at.coef[c]
				kVariance, cross = at.coefCov[c*len(p.columns)+c], float64(favour*at.coefWith(c, a, b))
			}
		}
		w.mean, w.variance = append(w.mean, float64(favour*(mean+correction))), append(w.variance, variance+blur)
		w.k, w.kVariance, w.cross = append(w.k, k), append(w.kVariance, kVariance), append(w.cross, cross)
		w.less.add(at.weight, 0, 0)
	}
	return w
}

// lessTimes returns the distribution of the difference less x k, good until the next call.
func (w *withExponent) lessTimes(x float64) *mixture {
	for i, mean := range w.mean {
		variance := w.variance[i] - float64(2*float64(x*w.cross[i])) + float64(float64(x*x)*w.kVariance[i])
		w.less.mean[i], w.less.sd[i] = mean-float64(x*w.k[i]), math.Sqrt(math.Max(variance, 0))
	}
	return w.less
}
