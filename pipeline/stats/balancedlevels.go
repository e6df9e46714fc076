package stats

// balancedLevels are the levels all of whose groups have the same number of rows, n. There
// B = ω (I - 11'/m), a multiple of a projection, so that one matrix serves every ratio.
type balancedLevels struct {
	n              float64
	groups, levels float64
	betweenDF      float64   // Σ (groups - 1) over levels
	logCount       float64   // Σ ln groups over levels
	square         []float64 // sum of the products of deviations of group means from their level's
}

// balanced reports whether all groups of the level have the same number of rows.
func (l *level) balanced() bool {
	for i := range l.groups {
		if l.groups[i].n != l.groups[0].n {
			return false
		}
	}
	return true
}

// gatherBalanced sums the balanced levels, by their n in order of first appearance, and lists the
// others.
func (b *absorbedLevels) gatherBalanced() {
	work := newLevelProducts(b.widest, b.largest)
	b.work = work
	for i := range b.levels {
		l := &b.levels[i]
		if !l.balanced() {
			b.unbalanced = append(b.unbalanced, i)
			continue
		}
		e := b.balancedOf(l.groups[0].n)
		m := float64(len(l.groups))
		e.groups, e.levels, e.betweenDF, e.logCount = e.groups+m, e.levels+1, e.betweenDF+m-1, e.logCount+Log(m)
		if len(l.groups) == 1 {
			continue // nothing left once its mean is gone
		}
		work.weigh(l, 0)
		s := betweenProducts{width: b.width, xBx: e.square}
		work.addCriterion(&s)
	}
	for i := range b.balanced {
		e := &b.balanced[i]
		for j := range e.square {
			e.square[j] /= e.n // the weights at λ = 0 are n
		}
	}
}

func (b *absorbedLevels) balancedOf(n float64) *balancedLevels {
	for i := range b.balanced {
		if b.balanced[i].n == n {
			return &b.balanced[i]
		}
	}
	b.balanced = append(b.balanced, balancedLevels{n: n, square: make([]float64, b.width*b.width)})
	return &b.balanced[len(b.balanced)-1]
}

func (e *balancedLevels) addTo(s *betweenProducts, lambda float64) {
	w := e.n / (1 + float64(e.n*lambda))
	s.logV += float64(e.groups * Log1p(float64(e.n*lambda)))
	s.logD += e.logCount + float64(e.levels*Log(w))
	addScaled(s.xBx, w, e.square)
	if s.depth < depthScore {
		return
	}
	w2 := float64(w * w)
	s.trB += float64(e.betweenDF * w)
	addScaled(s.xBBx, w2, e.square)
	if s.depth < depthInformation {
		return
	}
	w3 := float64(w2 * w)
	s.trB2 += float64(e.betweenDF * w2)
	s.trBNB += float64(e.betweenDF*w2) / e.n
	s.trBNBN += float64(e.betweenDF*w2) / e.n / e.n
	addScaled(s.xBBBx, w3, e.square)
	addScaled(s.xBNBx, w2/e.n, e.square)
	addScaled(s.xBNBNBx, w3/e.n/e.n, e.square)
	addScaled(s.xBBNBx, w3/e.n, e.square)
}
