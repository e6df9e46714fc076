package stats

import (
	"math"
	"slices"
)

// scaledGrid is where the search for the best ratio looks at the score, as λ times the
// largest group size: three points to a decade where the likelihood bends, on the scale of
// 1/n, and one to a decade far above it.
var scaledGrid = func() []float64 {
	const dense, sparse = 22, 5 // 1e-3 to 1e4, then to 1e9
	grid := make([]float64, dense+sparse)
	for i := range grid {
		exponent := float64(i)/3 - 3
		if i >= dense {
			exponent = float64(i - dense + 5)
		}
		grid[i] = Pow(10, exponent)
	}
	return grid
}()

func ratioGrid(largest float64) []float64 {
	grid := slices.Clone(scaledGrid)
	for i := range grid {
		grid[i] /= largest
	}
	return grid
}

// negligibleRatio is the λ times the largest group size below which the maximum counts as
// being at zero: where the score at zero is zero but for rounding, rounding must not choose
// between the two kinds of degrees of freedom.
const negligibleRatio = 1e-10

// maximise returns the best ratio, the status, and whether the likelihood has several
// local maxima. largest is the largest group size.
func (l *likelihood) maximise(largest float64) (lambda float64, status MixedStatus, several bool) {
	at := l.newProfileLikelihood(depthScore)
	criterion := func(x float64) float64 { at.setRatio(x); return at.criterion() }
	score := func(x float64) float64 { at.setRatio(x); return at.score() }
	lambda, atEnd, several := lowest(criterion, score, ratioGrid(largest))
	switch {
	case float64(lambda*largest) < negligibleRatio:
		lambda, status = 0, BoundaryZero
	case atEnd:
		status = Unbounded
	}
	return lambda, status, several
}

// fit estimates both variances and fills in everything that does not depend on the
// caller's columns. exact says that the fixed effects explain the response, level that the
// rows of each group agree.
func (l *likelihood) fit(exact, level bool, largest float64) *Mixed {
	m := &Mixed{Rows: l.rows, Rank: l.rank, Groups: l.groups, BetweenDF: l.betweenDF, WithinDF: l.withinDF}
	several := false
	switch {
	case l.rows == l.rank:
		m.Status = NoResidualDF
	case exact:
		m.Status = ExactFit
	case l.betweenDF <= 0:
		m.Status = NoBetweenDF
	case l.withinDF <= 0:
		m.Status = NoWithinDF
	case level:
		m.Status, m.Lambda = Unbounded, 1e9/largest
	default:
		m.Lambda, m.Status, several = l.maximise(largest)
	}
	if several {
		m.Warnings = append(m.Warnings,
			"the likelihood of the variance ratio has several local maxima; the highest was taken")
	}
	m.at = l.at(m.Lambda, depthInformation)
	m.at.xNx = m.at.addWithin(m.at.sums.xBNBx)
	m.variances()
	return m
}

// variances sets the variance components, their covariances and the criterion.
func (m *Mixed) variances() {
	nan := math.NaN()
	m.Observed, m.Expected = VarianceCov{nan, nan, nan}, VarianceCov{nan, nan, nan}
	m.Sigma2, m.SigmaB2, m.Criterion = nan, nan, nan
	switch m.Status {
	case NoResidualDF:
		return
	case ExactFit:
		m.Sigma2, m.SigmaB2, m.Criterion = 0, 0, math.Inf(-1)
		return
	case Unbounded:
		m.scale = bilinear(m.at.v, m.at.sums.xBx, m.at.v, m.at.l.p+1) / float64(m.BetweenDF)
		m.Sigma2, m.SigmaB2, m.Criterion = 0, float64(m.Lambda*m.scale), math.Inf(-1)
		m.Lambda = math.Inf(1)
		return
	}
	m.Sigma2 = m.at.rss / float64(m.Rows-m.Rank)
	m.scale = m.Sigma2
	m.Criterion = m.at.criterion()
	if !m.Status.Separable() {
		return
	}
	m.SigmaB2 = float64(m.Lambda * m.Sigma2)
	o, e := m.at.information(m.Sigma2)
	m.Observed, m.Expected = o.times(m.Sigma2), e.times(m.Sigma2)
}

// times returns the covariance in units where σ² is sigma2.
func (v VarianceCov) times(sigma2 float64) VarianceCov {
	s := float64(sigma2 * sigma2)
	return VarianceCov{float64(v.BB * s), float64(v.BW * s), float64(v.WW * s)}
}
