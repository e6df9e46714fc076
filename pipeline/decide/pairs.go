package decide

import "math"

// Sensor is what is known of the sensor's error by shoe, on the logarithmic scale, for each
// shoe of a posterior: the correction that is added to the shoe's effect, and the standard
// deviation of the error that remains. Nil slices are all 0.
type Sensor struct{ Correction, SD []float64 }

// pair returns the correction and the variance that a difference of two shoes takes.
func (s Sensor) pair(a, b int) (correction, variance float64) {
	if s.Correction != nil {
		correction = s.Correction[a] - s.Correction[b]
	}
	if s.SD != nil {
		variance = float64(s.SD[a]*s.SD[a]) + float64(s.SD[b]*s.SD[b])
	}
	return correction, variance
}

// Difference is the distribution of how much better one shoe is than another: the logarithm
// of the ratio of their outcomes, positive in favour of the first.
type Difference struct {
	// Mean and SD are its moments; Low, Median and High its 2.5, 50 and 97.5 % points.
	Mean, SD, Low, Median, High float64
	// Above is P(d > 0), AboveWorthwhile P(d > w), Within P(|d| < w), w being what matters.
	Above, AboveWorthwhile, Within float64
	// ApartAtMost is the smallest m with P(|d| < m) >= 0.90.
	ApartAtMost float64
}

// Pair compares two shoes. Where they are in different groups it holds nothing else.
type Pair struct {
	// Shoe is compared with Reference.
	Shoe, Reference int
	Comparable      bool
	// D is the difference in the long run.
	D Difference
}

// apartChance is the chance with which two shoes are said to be no more than so much apart.
const apartChance = 0.90

// Difference is by how much shoe a is better than shoe b in the long run: the D of
// [Posterior.Pair], where nothing else is asked. The shoes are of one group.
func (p *Posterior) Difference(a, b int, sensor Sensor) Difference {
	return p.describe(p.mixture(a, b, sensor))
}

// Pair compares shoe a with shoe b, indices of Shoes; exchanging them mirrors the result.
func (p *Posterior) Pair(a, b int, sensor Sensor) Pair {
	pair := Pair{Shoe: a, Reference: b, Comparable: a != b && p.group[a] == p.group[b]}
	if pair.Comparable {
		pair.D = p.Difference(a, b, sensor)
	}
	return pair
}

// NewRunnerInterval is the 95 % interval of the difference on one day to come, of somebody who is
// not in the data. With one runner only nothing is known of others, and it is that runner's.
func (p *Posterior) NewRunnerInterval(a, b int, sensor Sensor) (low, high float64) {
	m := p.differences(a, b, sensor, (*node).contrast, (*node).newRunner)
	mean, sd := m.moments()
	if sd == 0 {
		return mean, mean
	}
	table := normalTable()
	return m.quantile(table, 0.025, mean, sd), m.quantile(table, 0.975, mean, sd)
}

// OfRunner compares shoe a with shoe b in the long run of one runner, an index of Runners.
// With one runner only it is [Posterior.Difference]. The shoes are of one group, the posterior
// is that of [Fit].
func (p *Posterior) OfRunner(a, b, runner int, sensor Sensor) Difference {
	return p.describe(p.differences(a, b, sensor, p.contrastOf(runner), func(*node) float64 { return 0 }))
}

// OneDayOf is [Posterior.OfRunner] on a day to come.
func (p *Posterior) OneDayOf(a, b, runner int, sensor Sensor) Difference {
	return p.describe(p.differences(a, b, sensor, p.contrastOf(runner), (*node).day))
}

// contrastOf returns what compares two shoes at a node for one runner.
func (p *Posterior) contrastOf(runner int) func(n *node, a, b int) (mean, variance float64) {
	if !p.Terms.Runner {
		return (*node).contrast
	}
	return func(n *node, a, b int) (float64, float64) { return n.ofRunner(runner, a, b) }
}

// differences is the distribution of a contrast of two shoes with a variance added. Each node of
// the grid of spreads adds a normal distribution to the mixture.
func (p *Posterior) differences(a, b int, sensor Sensor, contrast func(n *node, a, b int) (mean, variance float64),
	added func(*node) float64) *mixture {
	correction, blur := sensor.pair(a, b)
	favour := p.favour()
	m := newMixture(len(p.nodes))
	for i := range p.nodes {
		n := &p.nodes[i]
		mean, variance := contrast(n, a, b)
		m.add(n.weight, float64(favour*(mean+correction)), variance+added(n)+blur)
	}
	return m
}

// describe takes the numbers of a difference from its mixture.
func (p *Posterior) describe(m *mixture) Difference {
	table := normalTable()
	worthwhile := p.settings.LogWorthwhile()
	var d Difference
	d.Mean, d.SD = m.moments()
	if d.SD == 0 {
		d.Low, d.Median, d.High = d.Mean, d.Mean, d.Mean
		d.ApartAtMost = math.Abs(d.Mean)
	} else {
		d.Low = m.quantile(table, 0.025, d.Mean, d.SD)
		d.Median = m.quantile(table, 0.5, d.Mean, d.SD)
		d.High = m.quantile(table, 0.975, d.Mean, d.SD)
		d.ApartAtMost = m.apart(table, apartChance, d.Mean, d.SD)
	}
	below := m.below(table, worthwhile)
	d.Above, d.AboveWorthwhile, d.Within = 1-m.below(table, 0), 1-below, below-m.below(table, -worthwhile)
	return d
}

// Pairs compares every two shoes of a group once, by group, the better shoe of each pair
// first, so that every mean is 0 or more.
func (p *Posterior) Pairs(sensor Sensor) []Pair {
	var pairs []Pair
	for _, shoes := range p.Groups {
		for i, a := range shoes {
			for _, b := range shoes[i+1:] {
				x, y := a, b
				if p.mean(a, b, sensor) < 0 {
					x, y = b, a
				}
				pairs = append(pairs, p.Pair(x, y, sensor))
			}
		}
	}
	return pairs
}

// mean returns the mean of the difference of a and b, positive where a is the better.
func (p *Posterior) mean(a, b int, sensor Sensor) float64 {
	mean, _ := sensor.pair(a, b)
	for i := range p.nodes {
		m, _ := p.nodes[i].contrast(a, b)
		mean += float64(p.nodes[i].weight * m)
	}
	return float64(mean * p.favour())
}

// favour is 1 where a larger outcome is better, else -1.
func (p *Posterior) favour() float64 {
	if p.settings.SmallerIsBetter {
		return -1
	}
	return 1
}
