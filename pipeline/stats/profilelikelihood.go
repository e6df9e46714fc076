package stats

import "math"

// likelihood is a REML problem absorbedDesign to p independent fixed columns: cross products
// within groups and a source of those between. The response is the last column.
type likelihood struct {
	p, groups           int
	rows, rank          int
	betweenDF, withinDF int
	within              []float64 // (p+1)² cross products of deviations from group means
	between             between
	logBasis            float64 // what the change of basis takes from ln|X'V⁻¹X|
}

func (l *likelihood) residualDF() float64 { return float64(l.rows - l.rank) }

// profileLikelihood is the REML likelihood at one ratio λ, with b and σ² profiled out.
type profileLikelihood struct {
	l      *likelihood
	lambda float64
	sums   *betweenProducts
	chol   Cholesky  // of the whole cross-product matrix, response last
	v      []float64 // (-b, 1)
	phi    []float64 // room for (X'V⁻¹X)⁻¹
	rss    float64   // r'V⁻¹r at σ² = 1, the generalised residual sum of squares
	xNx    []float64 // of the products X'V⁻¹V⁻¹X those of all rows; of the highest likelihood only
}

func (l *likelihood) at(lambda float64, depth int) profileLikelihood {
	a := l.newProfileLikelihood(depth)
	a.setRatio(lambda)
	return a
}

func (l *likelihood) newProfileLikelihood(depth int) profileLikelihood {
	k := l.p + 1
	return profileLikelihood{
		l: l, sums: newBetweenProducts(k, depth), chol: Cholesky{k, make([]float64, k*k)},
		v: make([]float64, k), phi: make([]float64, l.p*l.p),
	}
}

// setRatio solves at another ratio in the same memory.
func (a *profileLikelihood) setRatio(lambda float64) {
	a.lambda = lambda
	a.sums.reset()
	a.l.between.addTo(a.sums, lambda)
	copy(a.chol.L, a.l.within)
	addScaled(a.chol.L, 1, a.sums.xBx)
	a.chol.Factor()
	// The last row of the factor holds the solved response and what is left of it.
	p := a.l.p
	last := a.chol.row(p)
	a.rss = float64(last[p] * last[p])
	// v = (-b, 1), so that v'Mv is the quadratic form of the residuals for any products M.
	copy(a.v, last[:p])
	a.chol.Backward(a.v[:p])
	for i := range p {
		a.v[i] = -a.v[i]
	}
	a.v[p] = 1
}

// criterion is -2 times the REML log likelihood with σ² profiled out:
//
//	ν (1 + ln(2π rss/ν)) + ln|V| + ln|X'V⁻¹X|,  ν = rows - rank
func (a profileLikelihood) criterion() float64 {
	nu := a.l.residualDF()
	return float64(nu*(1+Log(float64(2*math.Pi/nu*a.rss)))) + a.sums.logV + a.sums.logD + a.chol.LogDet(a.l.p) +
		a.l.logBasis
}

// score is the derivative of the criterion with respect to λ:
//
//	tr(P ZZ') - ν r'V⁻¹ZZ'V⁻¹r / rss
func (a profileLikelihood) score() float64 {
	p := a.l.p
	tr := a.sums.trB - traceOfProduct(a.chol.Inverse(a.phi, p), a.sums.xBBx, p, p+1)
	return tr - float64(a.l.residualDF()/a.rss*quadraticForm(a.v, a.sums.xBBx))
}

// solve returns (X'V⁻¹X)⁻¹ c at σ² = 1.
func (a profileLikelihood) solve(c []float64) []float64 {
	w := append([]float64(nil), c...)
	from := 0 // of a difference of two classes most is 0
	for from < len(w) && w[from] == 0 {
		from++
	}
	a.chol.Forward(w, from)
	a.chol.Backward(w)
	return w
}

// gradient returns the derivatives of the variance of a contrast, w = (X'V⁻¹X)⁻¹ c, with
// respect to σb² and σ².
func (a profileLikelihood) gradient(w []float64) (g1, g2 float64) {
	return bilinear(w, a.sums.xBBx, w, a.l.p+1), bilinear(w, a.xNx, w, a.l.p+1)
}

// addWithin adds the cross products within groups.
func (a profileLikelihood) addWithin(between []float64) []float64 {
	s := append([]float64(nil), between...)
	addScaled(s, 1, a.l.within)
	return s
}

// kenwardRoger is Kenward and Roger's w'Λw: the sum over pairs of variance components of
// their covariance times Qij - Pi (X'V⁻¹X)⁻¹ Pj, at σ² = 1.
func (a profileLikelihood) kenwardRoger(w []float64, cov VarianceCov) float64 {
	k := a.l.p + 1
	xBNBx, xBNBNBx := a.xNx, a.addWithin(a.sums.xBNBNBx)
	p1, p2 := times(a.sums.xBBx, w, k), times(xBNBx, w, k)
	p1, p2 = p1[:a.l.p], p2[:a.l.p]
	s1, s2 := a.solve(p1), a.solve(p2)
	bb := bilinear(w, a.sums.xBBBx, w, k) - dot(p1, s1)
	bw := bilinear(w, a.sums.xBBNBx, w, k) - dot(p1, s2)
	ww := bilinear(w, xBNBNBx, w, k) - dot(p2, s2)
	return float64(cov.BB*bb) + float64(2*cov.BW*bw) + float64(cov.WW*ww)
}

// information returns the covariances of (σb², σ²) at σ² = 1 from the observed and the
// expected information of the REML likelihood. s2 is the estimated σ².
//
// With P = V⁻¹ - V⁻¹X(X'V⁻¹X)⁻¹X'V⁻¹ and V_i the derivative of V by component i (ZZ', I), the
// expected information is tr(P V_i P V_j)/2 and the observed r'V⁻¹V_i P V_j V⁻¹r less that
// (Searle, Casella & McCulloch 1992, section 6.6; Kenward & Roger 1997).
func (a profileLikelihood) information(s2 float64) (observed, expected VarianceCov) {
	p, k := a.l.p, a.l.p+1
	phi := a.chol.Inverse(a.phi, p) // (X'V⁻¹X)⁻¹
	xBBx := a.sums.xBBx
	xBNBx, xBNBNBx := a.xNx, a.addWithin(a.sums.xBNBNBx)
	// The traces tr(P V_i P V_j).
	pc, pe := product(phi, xBBx, p, k), product(phi, xBNBx, p, k)
	t := VarianceCov{
		BB: a.sums.trB2 - float64(2*traceOfProduct(phi, a.sums.xBBBx, p, k)) + traceOfSquare(pc, pc, p),
		BW: a.sums.trBNB - float64(2*traceOfProduct(phi, a.sums.xBBNBx, p, k)) + traceOfSquare(pc, pe, p),
		WW: float64(a.l.rows-a.l.groups) + a.sums.trBNBN - float64(2*traceOfProduct(phi, xBNBNBx, p, k)) +
			traceOfSquare(pe, pe, p),
	}
	// The quadratic forms r'V⁻¹V_i P V_j V⁻¹r.
	v1, v2 := times(xBBx, a.v, k)[:p], times(xBNBx, a.v, k)[:p]
	s1, sw := a.solve(v1), a.solve(v2)
	y := VarianceCov{
		BB: quadraticForm(a.v, a.sums.xBBBx) - dot(v1, s1),
		BW: quadraticForm(a.v, a.sums.xBBNBx) - dot(v1, sw),
		WW: quadraticForm(a.v, xBNBNBx) - dot(v2, sw),
	}
	hessian := VarianceCov{float64(2*y.BB)/s2 - t.BB, float64(2*y.BW)/s2 - t.BW, float64(2*y.WW)/s2 - t.WW}
	return hessian.twiceInverse(), t.twiceInverse()
}

// twiceInverse returns 2 H⁻¹, NaN where H is singular.
func (v VarianceCov) twiceInverse() VarianceCov {
	det := float64(v.BB*v.WW) - float64(v.BW*v.BW)
	if !(math.Abs(det) > 1e-13*math.Abs(float64(v.BB*v.WW))) {
		return VarianceCov{math.NaN(), math.NaN(), math.NaN()}
	}
	return VarianceCov{float64(2*v.WW) / det, float64(-2*v.BW) / det, float64(2*v.BB) / det}
}
