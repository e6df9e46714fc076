package stats

// absorbedLevels is the between-group part after a fixed effect for each level of a nuisance
// factor has been eliminated within the level. Groups are nested in levels and each
// belongs to one class of a treatment factor, so its row of the design has one 1 among
// the class columns and a few dense entries (covariates and the response).
type absorbedLevels struct {
	width      int
	levels     []level
	widest     int     // most local columns of any level
	largest    float64 // rows of the largest group
	balanced   []balancedLevels
	unbalanced []int // the levels that are not among them
	work       *levelProducts
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

func (b *absorbedLevels) addTo(s *betweenProducts, lambda float64) {
	for i := range b.balanced {
		b.balanced[i].addTo(s, lambda)
	}
	work := b.work
	for _, i := range b.unbalanced {
		l := &b.levels[i]
		work.weigh(l, lambda)
		s.logV += work.logV
		s.logD += Log(work.total)
		if len(l.groups) == 1 {
			continue // nothing left once its mean is gone
		}
		if s.depth == depthCriterion {
			work.addCriterion(s)
			continue
		}
		work.addScore(s)
		if s.depth == depthInformation {
			work.addInformation(s)
		}
	}
}

// levelProducts is scratch space for one level at a time.
type levelProducts struct {
	weights        []weight // by group size
	l              *level
	w              []float64 // ω of each group
	total, logV    float64   // Σω, Σ ln(1+nλ)
	mean           []float64 // ω-weighted mean of each local column
	dev            []float64 // one group's deviation from it
	xBx, xBBx      []float64 // products of the local columns, on their way to the whole ones
	squareWeighted []float64 // Σω² dev
}

func newLevelProducts(widest int, largest float64) *levelProducts {
	vector := func() []float64 { return make([]float64, widest) }
	matrix := func() []float64 { return make([]float64, widest*widest) }
	return &levelProducts{
		weights: make([]weight, int(largest)+1), mean: vector(), dev: vector(), squareWeighted: vector(),
		xBx: matrix(), xBBx: matrix(),
	}
}

// weight is what the ratio makes of a group size, remembered because few sizes differ.
type weight struct {
	lambda, w, log float64 // ω = n/(1+nλ), ln(1+nλ); ω is 0 where not yet known
}

func (k *levelProducts) weight(n, lambda float64) *weight {
	t := &k.weights[int(n)]
	if t.w == 0 || t.lambda != lambda {
		*t = weight{lambda, n / (1 + float64(n*lambda)), Log1p(float64(n * lambda))}
	}
	return t
}

// weigh computes weights and weighted means.
func (k *levelProducts) weigh(l *level, lambda float64) {
	k.l, k.w, k.total, k.logV = l, k.w[:0], 0, 0
	c := len(l.columns)
	k.mean, k.dev, k.squareWeighted = k.mean[:c], k.dev[:c], k.squareWeighted[:c]
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

// setDeviation sets dev to the deviation of group i from the weighted means.
func (k *levelProducts) setDeviation(i int) {
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

// addCriterion adds xBx = Σω x dev', using that x has few entries.
func (k *levelProducts) addCriterion(s *betweenProducts) {
	l, c := k.l, len(k.l.columns)
	xBx := k.xBx[:c*c]
	clear(xBx)
	for i := range l.groups {
		k.setDeviation(i)
		g, w := &l.groups[i], k.w[i]
		if g.class >= 0 {
			addScaled(xBx[g.class*c:], w, k.dev)
		}
		for a, v := range g.dense {
			addScaled(xBx[(l.classes+a)*c:], float64(w*v), k.dev)
		}
	}
	k.scatter(s.xBx, s.width, xBx)
}

// addScore adds xBx and xBBx = Σω² x dev' - mean (Σω² dev)', and the trace of B.
func (k *levelProducts) addScore(s *betweenProducts) {
	l, c := k.l, len(k.l.columns)
	xBx, xBBx := k.xBx[:c*c], k.xBBx[:c*c]
	clear(xBx)
	clear(xBBx)
	clear(k.squareWeighted)
	// Sums over the groups: of X'BX, X'BBX and the trace of B.
	for i := range l.groups {
		k.setDeviation(i)
		g, w := &l.groups[i], k.w[i]
		w2 := float64(w * w)
		if g.class >= 0 {
			at := g.class * c
			addTwice(xBx[at:], w, xBBx[at:], w2, k.dev)
		}
		for a, v := range g.dense {
			at := (l.classes + a) * c
			addTwice(xBx[at:], float64(w*v), xBBx[at:], float64(w2*v), k.dev)
		}
		addScaled(k.squareWeighted, w2, k.dev)
		s.trB += w - w2/k.total
	}
	// What the mean takes out, then into the columns of all levels.
	for a, m := range k.mean {
		addScaled(xBBx[a*c:], -m, k.squareWeighted)
	}
	k.scatter(s.xBx, s.width, xBx)
	k.scatter(s.xBBx, s.width, xBBx)
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
func (k *levelProducts) scatter(to []float64, width int, from []float64) {
	cols := k.l.columns
	for _, a := range cols {
		row := to[a*width : (a+1)*width]
		for j, v := range from[:len(cols)] {
			row[cols[j]] += v
		}
		from = from[len(cols):]
	}
}

// addInformation adds what only the information needs, by the plain definitions: with Y = BX̄ and
// U = N⁻¹Y, xBBBx = Y'BY, xBNBx = U'Y, xBNBNBx = U'BU, xBBNBx = Y'BU.
func (k *levelProducts) addInformation(s *betweenProducts) {
	m, c := len(k.l.groups), len(k.l.columns)
	y, u := make([][]float64, m), make([][]float64, m)
	for i := range m {
		k.setDeviation(i)
		y[i], u[i] = make([]float64, c), make([]float64, c)
		addScaled(y[i], k.w[i], k.dev)
		addScaled(u[i], 1/k.l.groups[i].n, y[i])
	}
	by, bu := k.applyB(y), k.applyB(u)
	k.product(s.xBBBx, s.width, y, by)
	k.product(s.xBNBx, s.width, u, y)
	k.product(s.xBNBNBx, s.width, u, bu)
	k.product(s.xBBNBx, s.width, y, bu)
	k.traces(s)
}

// applyB returns B times a matrix of one row for each group.
func (k *levelProducts) applyB(x [][]float64) [][]float64 {
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
func (k *levelProducts) product(to []float64, width int, a, b [][]float64) {
	c := len(k.l.columns)
	local := k.xBx[:c*c]
	clear(local)
	for i, r := range a {
		for j, v := range r {
			addScaled(local[j*c:], v, b[i])
		}
	}
	k.scatter(to, width, local)
}

// traces adds Σ B², Σ B²/n and Σ B²/(nn'), from B = diag(ω) - ωω'/Σω.
func (k *levelProducts) traces(s *betweenProducts) {
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
