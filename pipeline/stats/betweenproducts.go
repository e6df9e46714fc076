package stats

// betweenProducts holds the cross products between groups at a variance ratio λ = σb²/σ².
//
// In a group of n rows V = σ²(I + λ 11'), and by Sherman and Morrison's formula
//
//	(I + λ 11')⁻¹ = (I - 11'/n) + 11'/n · 1/(1+nλ)
//
// so X'V⁻¹X at σ² = 1 is the cross products within groups, which do not depend on λ, plus
// X̄'BX̄ with X̄ the group means of the columns (the response last), ω = n/(1+nλ) and
// B = diag(ω). Where the mean of each level of a nuisance factor is eliminated, B becomes
// diag(ω) - ωω'/Σω within the level. As dB/dλ = -BB, and dB/dσ² brings N⁻¹ with
// N = diag(n), the likelihood, its score and its information need (Searle, Casella &
// McCulloch 1992, ch. 6):
//
//	xBx = X̄'BX̄        xBBx = X̄'BBX̄            xBBBx = X̄'BBBX̄
//	xBNBx = X̄'BN⁻¹BX̄  xBNBNBx = X̄'BN⁻¹BN⁻¹BX̄  xBBNBx = X̄'BBN⁻¹BX̄
type betweenProducts struct {
	width, depth                             int // columns with the response; how much of this is wanted
	xBx, xBBx, xBBBx, xBNBx, xBNBNBx, xBBNBx []float64
	trB, trB2, trBNB, trBNBN                 float64 // traces of B, BB, BN⁻¹B, BN⁻¹BN⁻¹
	logV, logD                               float64 // Σ ln(1+nλ), and Σ ln Σω over eliminated means
}

// How much of betweenProducts is wanted.
const (
	depthCriterion   = iota // xBx and the logarithms
	depthScore              // and xBBx, trB
	depthInformation        // everything
)

// between is a source of betweenProducts.
type between interface {
	addTo(s *betweenProducts, lambda float64)
}

func newBetweenProducts(width, depth int) *betweenProducts {
	n := width * width
	whole := make([]float64, n*[...]int{1, 2, 6}[depth])
	square := func() []float64 {
		m := whole[:n:n]
		whole = whole[n:]
		return m
	}
	s := &betweenProducts{width: width, depth: depth, xBx: square()}
	if depth >= depthScore {
		s.xBBx = square()
	}
	if depth >= depthInformation {
		s.xBBBx, s.xBNBx, s.xBNBNBx, s.xBBNBx = square(), square(), square(), square()
	}
	return s
}

// reset sets everything to zero.
func (s *betweenProducts) reset() {
	for _, m := range [...][]float64{s.xBx, s.xBBx, s.xBBBx, s.xBNBx, s.xBNBNBx, s.xBBNBx} {
		clear(m)
	}
	s.trB, s.trB2, s.trBNB, s.trBNBN, s.logV, s.logD = 0, 0, 0, 0, 0, 0
}

// groupsBySize is the between-group part of a dense regression: groups of equal size share a
// weight, so only the sums over each size are kept.
type groupsBySize struct {
	width  int
	size   []float64   // distinct group sizes, ascending
	count  []float64   // groups of that size
	square [][]float64 // sum of x̄x̄' over those groups
}
