package stats

// byLevel is the between-group part after a fixed effect for each level of a nuisance
// factor has been eliminated within the level. Groups are nested in levels and each
// belongs to one class of a treatment factor, so its row of the design has one 1 among
// the class columns and a few dense entries (covariates and the response).
type byLevel struct {
	p1      int
	levels  []level
	widest  int     // most local columns of any level
	largest float64 // rows of the largest group
	even    []evenLevels
	uneven  []int // the levels that are not among them
	work    *levelWork
}

// level is one level with its own small set of columns: its classes, then the dense ones.
type level struct {
	groups  []levelGroup
	columns []int // place in the whole design of each local column
	classes int   // how many of them are class columns
}

type levelGroup struct {
	n     float64
	class int       // local class column, or -1 for one that is aliased
	dense []float64 // group means of the dense columns
}

func (b *byLevel) addTo(s *crossSums, lambda float64) {
	for i := range b.even {
		b.even[i].addTo(s, lambda)
	}
	work := b.work
	for _, i := range b.uneven {
		l := &b.levels[i]
		work.start(l, lambda)
		s.logV += work.logV
		s.logD += Log(work.total)
		if len(l.groups) == 1 {
			continue // nothing left once its mean is gone
		}
		if s.depth == depthCriterion {
			work.square(s)
			continue
		}
		work.first(s)
		if s.depth == depthInformation {
			work.rest(s)
		}
	}
}

// levelWork is scratch space for one level at a time.
type levelWork struct {
	weights     []weight // by group size
	l           *level
	w           []float64 // ω of each group
	total, logV float64   // Σω, Σ ln(1+nλ)
	mean        []float64 // ω-weighted mean of each local column
	dev         []float64 // one group's deviation from it
	c1, c2      []float64 // local cross sums
	pull        []float64 // Σω² dev
}

func newLevelWork(widest int, largest float64) *levelWork {
	vector := func() []float64 { return make([]float64, widest) }
	matrix := func() []float64 { return make([]float64, widest*widest) }
	return &levelWork{weights: make([]weight, int(largest)+1), mean: vector(), dev: vector(), pull: vector(), c1: matrix(), c2: matrix()}
}

// weight is what the ratio makes of a group size, remembered because few sizes differ.
type weight struct {
	lambda, w, log float64 // ω = n/(1+nλ), ln(1+nλ); ω is 0 where not yet known
}

func (k *levelWork) weight(n, lambda float64) *weight {
	t := &k.weights[int(n)]
	if t.w == 0 || t.lambda != lambda {
		*t = weight{lambda, n / (1 + float64(n*lambda)), Log1p(float64(n * lambda))}
	}
	return t
}

// start computes weights and weighted means.
func (k *levelWork) start(l *level, lambda float64) {
	k.l, k.w, k.total, k.logV = l, k.w[:0], 0, 0
	c := len(l.columns)
	k.mean, k.dev, k.pull = k.mean[:c], k.dev[:c], k.pull[:c]
	clear(k.mean)
	for i := range l.groups {
		g := &l.groups[i]
		weight := k.weight(g.n, lambda)
		w := weight.w
		k.w = append(k.w, w)
		k.total += w
		k.logV += weight.log
		if g.class >= 0 {
			k.mean[g.class] += w
		}
		addScaled(k.mean[l.classes:], w, g.dense)
	}
	for j := range k.mean {
		k.mean[j] /= k.total
	}
}

// deviate sets dev to the deviation of group i from the weighted means.
func (k *levelWork) deviate(i int) {
	g := &k.l.groups[i]
	classes, dense := k.mean[:k.l.classes], k.mean[k.l.classes:]
	dev := k.dev[:len(classes)]
	for j, m := range classes {
		dev[j] = -m
	}
	if g.class >= 0 {
		dev[g.class]++
	}
	dev = k.dev[len(classes):]
	for j, m := range dense {
		dev[j] = g.dense[j] - m
	}
}

// square adds c1 = Σω x dev', using that x has few entries.
func (k *levelWork) square(s *crossSums) {
	l, c := k.l, len(k.l.columns)
	c1 := k.c1[:c*c]
	clear(c1)
	for i := range l.groups {
		k.deviate(i)
		g, w := &l.groups[i], k.w[i]
		if g.class >= 0 {
			addScaled(c1[g.class*c:], w, k.dev)
		}
		for a, v := range g.dense {
			addScaled(c1[(l.classes+a)*c:], float64(w*v), k.dev)
		}
	}
	k.scatter(s.c1, s.p1, c1)
}

// first adds c1 and c2 = Σω² x dev' - mean (Σω² dev)', and the trace of B.
func (k *levelWork) first(s *crossSums) {
	l, c := k.l, len(k.l.columns)
	c1, c2 := k.c1[:c*c], k.c2[:c*c]
	clear(c1)
	clear(c2)
	clear(k.pull)
	for i := range l.groups {
		k.deviate(i)
		g, w := &l.groups[i], k.w[i]
		w2 := float64(w * w)
		if g.class >= 0 {
			at := g.class * c
			addTwice(c1[at:], w, c2[at:], w2, k.dev)
		}
		for a, v := range g.dense {
			at := (l.classes + a) * c
			addTwice(c1[at:], float64(w*v), c2[at:], float64(w2*v), k.dev)
		}
		addScaled(k.pull, w2, k.dev)
		s.trB += w - w2/k.total
	}
	for a, m := range k.mean {
		addScaled(c2[a*c:], -m, k.pull)
	}
	k.scatter(s.c1, s.p1, c1)
	k.scatter(s.c2, s.p1, c2)
}

// addTwice adds f times x to a and g times x to b.
func addTwice(a []float64, f float64, b []float64, g float64, x []float64) {
	a, b = a[:len(x)], b[:len(x)]
	for i, v := range x {
		a[i] += float64(f * v)
		b[i] += float64(g * v)
	}
}

// scatter adds a local matrix to its places in the whole one.
func (k *levelWork) scatter(to []float64, p1 int, from []float64) {
	cols := k.l.columns
	for _, a := range cols {
		row := to[a*p1 : (a+1)*p1]
		for j, v := range from[:len(cols)] {
			row[cols[j]] += v
		}
		from = from[len(cols):]
	}
}

// rest adds what only the information needs, by the plain definitions: with Y = BX̄ and
// U = N⁻¹Y, c3 = Y'BY, e2 = U'Y, e3 = U'BU, f = Y'BU.
func (k *levelWork) rest(s *crossSums) {
	m, c := len(k.l.groups), len(k.l.columns)
	y, u := make([][]float64, m), make([][]float64, m)
	for i := range m {
		k.deviate(i)
		y[i], u[i] = make([]float64, c), make([]float64, c)
		addScaled(y[i], k.w[i], k.dev)
		addScaled(u[i], 1/k.l.groups[i].n, y[i])
	}
	by, bu := k.applyB(y), k.applyB(u)
	k.product(s.c3, s.p1, y, by)
	k.product(s.e2, s.p1, u, y)
	k.product(s.e3, s.p1, u, bu)
	k.product(s.f, s.p1, y, bu)
	k.traces(s)
}

// applyB returns B times a matrix of one row for each group.
func (k *levelWork) applyB(x [][]float64) [][]float64 {
	mean := make([]float64, len(k.l.columns))
	for i, r := range x {
		addScaled(mean, k.w[i]/k.total, r)
	}
	out := make([][]float64, len(x))
	for i, r := range x {
		out[i] = make([]float64, len(r))
		for j, v := range r {
			out[i][j] = float64(k.w[i] * (v - mean[j]))
		}
	}
	return out
}

// product adds a'b.
func (k *levelWork) product(to []float64, p1 int, a, b [][]float64) {
	c := len(k.l.columns)
	local := k.c1[:c*c]
	clear(local)
	for i, r := range a {
		for j, v := range r {
			addScaled(local[j*c:], v, b[i])
		}
	}
	k.scatter(to, p1, local)
}

// traces adds Σ B², Σ B²/n and Σ B²/(nn'), from B = diag(ω) - ωω'/Σω.
func (k *levelWork) traces(s *crossSums) {
	var s2, s2n float64
	for i, w := range k.w {
		w2 := float64(w * w)
		s2 += w2
		s2n += w2 / k.l.groups[i].n
	}
	t := k.total
	for i, w := range k.w {
		n, w2 := k.l.groups[i].n, float64(w*w)
		own := w2 - float64(2*w2*w)/t
		s.trB2 += own + float64(w2*s2)/t/t
		s.trBNB += (own + float64(w2*s2)/t/t) / n
		s.trBNBN += (own/n + float64(w2*s2n)/t/t) / n
	}
}
