package decide

import (
	"math"
	"slices"
	"sync"

	"soletrial/pipeline/stable"
	"soletrial/pipeline/stats"
)

// negligible is the chance of being the best below which a shoe is left out early.
const negligible = 1e-5

// points is how many points the lattice has, by accuracy.
var points = [...]int{Exact: 1 << 13, Coarse: 1 << 10, Moving: 1 << 9}

// bestOf puts, for each shoe of a group of two or more, the chance that it is the best of the
// group into best, with the sensor's error counted. Two shoes are exact, three or more good to
// about 1e-3, because a point set takes the place of an integral.
func (p *Posterior) bestOf(shoes []int, sensor Sensor, best []float64) {
	// The leader first; only those with some chance of beating it can be the best.
	leader := shoes[0]
	for _, j := range shoes[1:] {
		if p.mean(j, leader, sensor) > 0 {
			leader = j
		}
	}
	type rival struct {
		shoe   int
		chance float64
	}
	var rivals []rival
	for _, j := range shoes {
		if j == leader {
			continue
		}
		if chance := p.Chance(j, leader, sensor, 0); chance >= negligible || len(shoes) == 2 {
			rivals = append(rivals, rival{j, chance})
		}
	}
	stable.Sort(rivals, func(a, b rival) int {
		switch {
		case a.chance > b.chance:
			return -1
		case a.chance < b.chance:
			return 1
		}
		return a.shoe - b.shoe
	})
	switch len(rivals) {
	case 0:
		best[leader] = 1
	case 1:
		best[rivals[0].shoe], best[leader] = rivals[0].chance, 1-rivals[0].chance
	default:
		race := []int{leader}
		for _, r := range rivals {
			race = append(race, r.shoe)
		}
		for i, chance := range p.race(race, sensor) {
			best[race[i]] = chance
		}
	}
}

// mixture returns the distribution of the advantage of shoe a over shoe b.
func (p *Posterior) mixture(a, b int, sensor Sensor) *mixture {
	m := newMixture(len(p.nodes))
	correction, blur := sensor.pair(a, b)
	for i := range p.nodes {
		mean, variance := p.nodes[i].contrast(a, b)
		m.add(p.nodes[i].weight, float64(p.favour()*(mean+correction)), variance+blur)
	}
	return m
}

// race returns the chances of three shoes or more, the leader first.
//
// At a node the advantages over the leader are normal: a = mean + L z. For given z_2,
// z_3, ... each is a straight line in z_1, and the best shoe is their upper envelope, so z_1
// is integrated exactly; the rest runs over a Kronecker point set (Richtmyer 1951: the
// fractions of i √prime), folded to be periodic. A node gets as many points as its weight.
func (p *Posterior) race(shoes []int, sensor Sensor) []float64 {
	// The shoes race in their advantages over the first; points stand for the integral.
	dims := len(shoes) - 1
	z := kronecker(dims-1, points[p.accuracy])
	chances := make([]float64, len(shoes))
	line := newLines(len(shoes))
	chol := stats.Cholesky{N: dims, L: make([]float64, dims*dims)}
	mean := make([]float64, dims)
	// Each node of the grid of spreads draws as many of the points as its weight is worth.
	total := points[p.accuracy]
	from, share := 0, 0.0
	for i := range p.nodes {
		n := &p.nodes[i]
		share += n.weight
		to := min(total, int(math.Round(float64(share*float64(total)))))
		if to == from {
			continue
		}
		p.advantages(n, shoes, sensor, mean, chol)
		chol.Factor()
		line.tilt(chol)
		for ; from+4 <= to; from += 4 {
			line.drawFour(mean, chol, z, from)
			for _, heights := range line.heights {
				line.addShares(heights, chances)
			}
		}
		for ; from < to; from++ {
			line.draw(mean, chol, z, from)
			line.addShares(line.heights[0], chances)
		}
	}
	for i := range chances {
		chances[i] /= float64(from)
	}
	return chances
}

// advantages puts the means of the advantages over the leader and their covariance (the
// lower triangle) at a node into mean and chol.
func (p *Posterior) advantages(n *node, shoes []int, sensor Sensor, mean []float64, chol stats.Cholesky) {
	dims, lead := len(mean), shoes[0]
	ownLead := 0.0
	if sensor.SD != nil {
		ownLead = float64(sensor.SD[lead] * sensor.SD[lead])
	}
	variances := make([]float64, dims)
	for i, a := range shoes[1:] {
		correction, blur := sensor.pair(a, lead)
		m, v := n.contrast(a, lead)
		mean[i] = float64(p.favour() * (m + correction))
		variances[i] = v
		chol.L[i*dims+i] = v + blur
		// Cov(a-lead, b-lead) is half of what the variances of a-lead and b-lead exceed that of a-b.
		for e, b := range shoes[1 : i+1] {
			chol.L[i*dims+e] = (v+variances[e]-n.varianceIn(&n.shoes, a, b))/2 + ownLead
		}
	}
}

// kronecker returns n points of normal deviates in the given number of dimensions, each dimension
// by itself. The first of a longer list are the same, so that what was made once is kept.
func kronecker(dims, n int) [][]float64 {
	kroneckerPoints.Lock()
	defer kroneckerPoints.Unlock()
	made := &kroneckerPoints.made
	for d, prime := range primes(dims) {
		if d == len(*made) {
			*made = append(*made, nil)
		}
		if len((*made)[d]) < n {
			(*made)[d] = kroneckerOf(prime, n)
		}
	}
	return slices.Clone((*made)[:dims])
}

var kroneckerPoints struct {
	sync.Mutex
	made [][]float64
}

// kroneckerOf returns n normal deviates by the fractions of i √prime.
func kroneckerOf(prime float64, n int) []float64 {
	table := normalTable()
	z := make([]float64, n)
	root := math.Sqrt(prime)
	generator := root - math.Floor(root)
	at := 0.5
	for i := range z {
		at += generator
		if at >= 1 {
			at--
		}
		u := math.Abs(float64(2*at) - 1)
		z[i] = normalQuantile(table, math.Max(1e-12, math.Min(1-1e-12, u)))
	}
	return z
}

// primes returns the first n primes.
func primes(n int) []float64 {
	var found []float64
	for c := 2; len(found) < n; c++ {
		if !slices.ContainsFunc(found, func(p float64) bool { return c%int(p) == 0 }) {
			found = append(found, float64(c))
		}
	}
	return found
}

// lines are the shoes' advantages as straight lines height + slope x of a normal x, at one point or at
// four, which share their slopes. The first shoe is the leader, at 0.
type lines struct {
	slope   []float64
	heights [4][]float64
}

func newLines(n int) *lines {
	l := &lines{slope: make([]float64, n)}
	for i := range l.heights {
		l.heights[i] = make([]float64, n)
	}
	return l
}

// tilt sets the slopes.
func (l *lines) tilt(chol stats.Cholesky) {
	for i := range chol.N {
		l.slope[i+1] = chol.L[i*chol.N]
	}
}

// draw sets the first heights for the deviates of a point in all dimensions but the first.
func (l *lines) draw(mean []float64, chol stats.Cholesky, z [][]float64, point int) {
	for i, m := range mean {
		for d, c := range chol.L[i*chol.N+1 : i*chol.N+i+1] {
			m += float64(c * z[d][point])
		}
		l.heights[0][i+1] = m
	}
}

// drawFour is draw for four points in a row, each summed as by draw; a processor works on four sums at
// a time about as fast as on one.
func (l *lines) drawFour(mean []float64, chol stats.Cholesky, z [][]float64, point int) {
	for i, m := range mean {
		m0, m1, m2, m3 := m, m, m, m
		for d, c := range chol.L[i*chol.N+1 : i*chol.N+i+1] {
			at := z[d][point : point+4]
			m0 += float64(c * at[0])
			m1 += float64(c * at[1])
			m2 += float64(c * at[2])
			m3 += float64(c * at[3])
		}
		l.heights[0][i+1], l.heights[1][i+1], l.heights[2][i+1], l.heights[3][i+1] = m0, m1, m2, m3
	}
}

// addShares adds to each shoe the probability of the x at which its line is the highest.
func (l *lines) addShares(height, chances []float64) {
	table := normalTable()
	// Far to the left the lowest slope is the highest line.
	at := 0
	for i, s := range l.slope {
		if s < l.slope[at] || s == l.slope[at] && height[i] > height[at] {
			at = i
		}
	}
	x, below := math.Inf(-1), 0.0
	for {
		// The next line to cross from below.
		next, cross := -1, math.Inf(1)
		for i, s := range l.slope {
			if s <= l.slope[at] {
				continue
			}
			c := (height[at] - height[i]) / (s - l.slope[at])
			if c > x && c < cross || c == cross && s > l.slope[max(next, 0)] {
				next, cross = i, c
			}
		}
		if next < 0 {
			chances[at] += 1 - below
			return
		}
		upTo, _ := normalAt(table, cross)
		chances[at] += upTo - below
		x, below, at = cross, upTo, next
	}
}
