package decide

import "math"

// InSpeed turns a pair's difference in heart rate at the same pace into one in speed, d/k: how
// much faster the better shoe would be at the same heart rate, by the exponent k of heart
// rate over speed, with its error. It is indirect, and an answer that uses it says so. It is
// of the pair's long-run difference; ok is false where the model has no exponent.
//
// For k > 0, P(d/k < x) = P(d - x k < 0), which is normal at each node. The mean and the SD
// of a ratio do not exist: it returns the median and the 95 % interval. outcome is the
// [Posterior.Difference] of the pair, near which the search begins.
func (p *Posterior) InSpeed(a, b int, sensor Sensor, outcome Difference) (low, median, high float64, ok bool) {
	if !p.Terms.Exponent || p.settings.Prior.Exponent.Mean <= 0 || a == b || p.group[a] != p.group[b] {
		return 0, 0, 0, false
	}
	// Its quantiles by Newton steps from those of the outcome over the mean exponent.
	table, at, k := normalTable(), p.withExponent(a, b, sensor), p.Spreads.K.Mean
	quantile := func(q, start float64) float64 {
		return solve(q, start/k, outcome.SD/k, func(x float64) (float64, float64) { return at.cdf(table, x) })
	}
	return quantile(0.025, outcome.Low), quantile(0.5, outcome.Median), quantile(0.975, outcome.High), true
}

// withExponent is the joint distribution of a difference and the exponent k: at each node their
// means, their variances and their covariance.
type withExponent []jointNode

type jointNode struct{ weight, mean, variance, k, kVariance, cross float64 }

func (p *Posterior) withExponent(a, b int, sensor Sensor) withExponent {
	correction, blur := sensor.pair(a, b)
	favour, prior := p.favour(), p.settings.Prior.Exponent.Mean
	nodes := make(withExponent, len(p.nodes))
	for i := range p.nodes {
		at := &p.nodes[i]
		mean, variance := at.contrast(a, b)
		n := jointNode{weight: at.weight, mean: float64(favour * (mean + correction)), variance: variance + blur,
			k: prior}
		for c, col := range p.columns {
			if col.kind == exponentColumn {
				n.k += at.coef[c]
				n.kVariance = at.coefCov[c*len(p.columns)+c]
				n.cross = float64(favour * at.coefWith(c, a, b))
			}
		}
		nodes[i] = n
	}
	return nodes
}

// cdf returns P(d - x k < 0) and its derivative by x. At a node it is Φ(z), z = (x mean(k) -
// mean(d))/s, with s² = Var(d) - 2 x Cov(d, k) + x² Var(k).
func (w withExponent) cdf(table []normalEntry, x float64) (p, slope float64) {
	for i := range w {
		n := &w[i]
		variance := n.variance - float64(2*float64(x*n.cross)) + float64(float64(x*x)*n.kVariance)
		ahead := float64(x*n.k) - n.mean
		if !(variance > 0) {
			p += float64(n.weight * step(ahead))
			continue
		}
		sd := math.Sqrt(variance)
		below, density := normalAt(table, ahead/sd)
		p += float64(n.weight * below)
		// z' = mean(k)/s - z s'/s, s' = (x Var(k) - Cov(d, k))/s
		along := n.k - float64(ahead*(float64(x*n.kVariance)-n.cross)/variance)
		slope += float64(float64(n.weight*density) * along / sd)
	}
	return p, slope
}
