package stats

// evenLevels are the levels all of whose groups have the same number of rows, n. There
// B = ω (I - 11'/m), a multiple of a projection, so that one matrix serves every ratio.
type evenLevels struct {
	n              float64
	groups, levels float64
	spare          float64   // Σ (groups - 1) over levels
	logCount       float64   // Σ ln groups over levels
	square         []float64 // sum of the products of deviations of group means from their level's
}

// even reports whether all groups of the level have the same number of rows.
func (l *level) even() bool {
	for i := range l.groups {
		if l.groups[i].n != l.groups[0].n {
			return false
		}
	}
	return true
}

// gatherEven sums the even levels, by their n in order of first appearance, and lists the
// others.
func (b *byLevel) gatherEven() {
	work := newLevelWork(b.widest, b.largest)
	b.work = work
	for i := range b.levels {
		l := &b.levels[i]
		if !l.even() {
			b.uneven = append(b.uneven, i)
			continue
		}
		e := b.evenOf(l.groups[0].n)
		m := float64(len(l.groups))
		e.groups, e.levels, e.spare, e.logCount = e.groups+m, e.levels+1, e.spare+m-1, e.logCount+Log(m)
		if len(l.groups) == 1 {
			continue // nothing left once its mean is gone
		}
		work.start(l, 0)
		s := crossSums{p1: b.p1, c1: e.square}
		work.square(&s)
	}
	for i := range b.even {
		e := &b.even[i]
		for j := range e.square {
			e.square[j] /= e.n // the weights at λ = 0 are n
		}
	}
}

func (b *byLevel) evenOf(n float64) *evenLevels {
	for i := range b.even {
		if b.even[i].n == n {
			return &b.even[i]
		}
	}
	b.even = append(b.even, evenLevels{n: n, square: make([]float64, b.p1*b.p1)})
	return &b.even[len(b.even)-1]
}

func (e *evenLevels) addTo(s *crossSums, lambda float64) {
	w := e.n / (1 + float64(e.n*lambda))
	s.logV += float64(e.groups * Log1p(float64(e.n*lambda)))
	s.logD += e.logCount + float64(e.levels*Log(w))
	addScaled(s.c1, w, e.square)
	if s.depth < depthScore {
		return
	}
	w2 := float64(w * w)
	s.trB += float64(e.spare * w)
	addScaled(s.c2, w2, e.square)
	if s.depth < depthInformation {
		return
	}
	w3 := float64(w2 * w)
	s.trB2 += float64(e.spare * w2)
	s.trBNB += float64(e.spare*w2) / e.n
	s.trBNBN += float64(e.spare*w2) / e.n / e.n
	addScaled(s.c3, w3, e.square)
	addScaled(s.e2, w2/e.n, e.square)
	addScaled(s.e3, w3/e.n/e.n, e.square)
	addScaled(s.f, w3/e.n, e.square)
}
