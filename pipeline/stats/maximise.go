package stats

import "math"

// The search for the best ratio covers λ times the largest group size from gridLow to
// gridHigh in steps of half a decade: the likelihood bends on the scale of 1/n, so no
// optimum is narrower than that.
const (
	gridLow   = 1e-6
	gridHigh  = 1e9
	gridSteps = 30
)

// maximise returns the best ratio, the status, and whether the likelihood has several
// local maxima. largest is the largest group size.
func (l *likelihood) maximise(largest float64) (lambda float64, status MixedStatus, several bool) {
	grid := make([]float64, gridSteps+2)
	value := make([]float64, gridSteps+2)
	best, minima := 0, 0
	for i := range grid {
		if i > 0 {
			grid[i] = float64(Pow(10, float64(i-1)/2)*gridLow) / largest
		}
		value[i] = l.at(grid[i], depthCriterion).criterion()
		if value[i] < value[best] {
			best = i
		}
	}
	for i := range value {
		if (i == 0 || value[i] < value[i-1]) && (i == len(value)-1 || value[i] <= value[i+1]) {
			minima++
		}
	}
	switch {
	case best == len(grid)-1:
		return grid[best], Unbounded, minima > 1
	case best == 0 && l.at(0, depthScore).score() >= 0:
		return 0, BoundaryZero, minima > 1
	case best == 0:
		return l.root(0, grid[1]), Interior, minima > 1
	}
	return l.root(grid[best-1], grid[best+1]), Interior, minima > 1
}

// root finds where the score is zero between two ratios.
func (l *likelihood) root(lo, hi float64) float64 {
	score := func(x float64) float64 { return l.at(x, depthScore).score() }
	if lo == 0 {
		return findRoot(score, lo, hi)
	}
	onLog := func(u float64) float64 { x := Exp(u); return float64(score(x) * x) }
	return Exp(findRoot(onLog, Log(lo), Log(hi)))
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
		m.Status, m.Lambda = Unbounded, gridHigh/largest
	default:
		m.Lambda, m.Status, several = l.maximise(largest)
	}
	if several {
		m.Warnings = append(m.Warnings, "the likelihood of the variance ratio has several local maxima; the highest was taken")
	}
	m.at = l.at(m.Lambda, depthInformation)
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
		m.Sigma2, m.SigmaB2 = 0, 0
		return
	}
	m.Sigma2 = m.at.q / float64(m.Rows-m.Rank)
	m.SigmaB2 = float64(m.Lambda * m.Sigma2)
	m.Criterion = m.at.criterion()
	if !m.Status.Separable() {
		m.SigmaB2 = nan
		return
	}
	o, e := m.at.information(m.Sigma2)
	m.Observed, m.Expected = o.times(m.Sigma2), e.times(m.Sigma2)
	if o.BB <= 0 || o.WW <= 0 || !(float64(o.BB*o.WW) > float64(o.BW*o.BW)) {
		m.Warnings = append(m.Warnings, "the observed information of the variances is not positive; degrees of freedom may rest on the expected one")
	}
}

// times returns the covariance in units where σ² is sigma2.
func (v VarianceCov) times(sigma2 float64) VarianceCov {
	s := float64(sigma2 * sigma2)
	return VarianceCov{float64(v.BB * s), float64(v.BW * s), float64(v.WW * s)}
}
