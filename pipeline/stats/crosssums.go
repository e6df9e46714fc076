package stats

// crossSums holds what a variance ratio λ = σb²/σ² makes of the group means x̄ of the
// columns (the response last). With n the group sizes, N = diag(n), ω = n/(1+nλ) and
// B = diag(ω), or B = diag(ω) - ωω'/Σω where a level's own mean is eliminated:
//
//	c1 = X̄'BX̄  c2 = X̄'BBX̄  c3 = X̄'BBBX̄
//	e2 = X̄'BN⁻¹BX̄  e3 = X̄'BN⁻¹BN⁻¹BX̄  f = X̄'BBN⁻¹BX̄
//
// Together with the cross products within groups they give every quadratic form and
// trace of the REML likelihood, its score and its information at σ² = 1.
type crossSums struct {
	p1, depth                int // columns with the response; how much of this is wanted
	c1, c2, c3, e2, e3, f    []float64
	trB, trB2, trBNB, trBNBN float64 // traces of B, BB, BN⁻¹B, BN⁻¹BN⁻¹
	logV, logD               float64 // Σ ln(1+nλ), and Σ ln Σω over eliminated means
}

// How much of crossSums is wanted.
const (
	depthCriterion   = iota // c1 and the logarithms
	depthScore              // and c2, trB
	depthInformation        // everything
)

// between is a source of crossSums.
type between interface {
	addTo(s *crossSums, lambda float64)
}

func newCrossSums(p1, depth int) *crossSums {
	n := p1 * p1
	whole := make([]float64, n*[...]int{1, 2, 6}[depth])
	square := func() []float64 {
		m := whole[:n:n]
		whole = whole[n:]
		return m
	}
	s := &crossSums{p1: p1, depth: depth, c1: square()}
	if depth >= depthScore {
		s.c2 = square()
	}
	if depth >= depthInformation {
		s.c3, s.e2, s.e3, s.f = square(), square(), square(), square()
	}
	return s
}

// restart sets everything to zero.
func (s *crossSums) restart() {
	for _, m := range [...][]float64{s.c1, s.c2, s.c3, s.e2, s.e3, s.f} {
		clear(m)
	}
	s.trB, s.trB2, s.trBNB, s.trBNBN, s.logV, s.logD = 0, 0, 0, 0, 0, 0
}

// bySize is the between-group part of a dense regression: groups of equal size share a
// weight, so only the sums over each size are kept.
type bySize struct {
	p1     int
	size   []float64   // distinct group sizes, ascending
	count  []float64   // groups of that size
	square [][]float64 // sum of x̄x̄' over those groups
}

func (b *bySize) addTo(s *crossSums, lambda float64) {
	for i, n := range b.size {
		w, k := n/(1+float64(n*lambda)), b.count[i]
		s.logV += float64(k * Log1p(float64(n*lambda)))
		addScaled(s.c1, w, b.square[i])
		if s.depth < depthScore {
			continue
		}
		w2 := float64(w * w)
		s.trB += float64(k * w)
		addScaled(s.c2, w2, b.square[i])
		if s.depth < depthInformation {
			continue
		}
		w3 := float64(w2 * w)
		s.trB2 += float64(k * w2)
		s.trBNB += float64(k*w2) / n
		s.trBNBN += float64(k*w2) / n / n
		addScaled(s.c3, w3, b.square[i])
		addScaled(s.e2, w2/n, b.square[i])
		addScaled(s.e3, w3/n/n, b.square[i])
		addScaled(s.f, w3/n, b.square[i])
	}
}
