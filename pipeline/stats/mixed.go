package stats

import "math"

// MixedStatus says where the variance ratio of a mixed model came to rest.
type MixedStatus int

const (
	// Interior: the REML score is zero at a positive ratio.
	Interior MixedStatus = iota
	// BoundaryZero: the likelihood is highest at σb² = 0 (a ratio below 1e-10 divided by the
	// largest group size counts as 0), a result like any other.
	BoundaryZero
	// NoBetweenDF: the fixed effects use up all differences between groups, so σb² cannot
	// be told from σ²; the numbers are those of ordinary least squares.
	NoBetweenDF
	// NoWithinDF: no group repeats anything, so σb² cannot be told from σ²; the numbers are
	// those of ordinary least squares, whose residual holds both.
	NoWithinDF
	// NoResidualDF: as many independent columns as rows; estimates without standard errors.
	NoResidualDF
	// Unbounded: rows of a group agree all but exactly, so σ² tends to 0 and the ratio to
	// infinity; the numbers are the limit, σb² and its degrees of freedom those between groups.
	Unbounded
	// ExactFit: the fixed effects explain every response; both variances are 0.
	ExactFit
)

func (s MixedStatus) String() string {
	return [...]string{"interior", "boundary at zero", "no between-group degrees of freedom",
		"no within-group degrees of freedom", "no residual degrees of freedom", "unbounded", "exact fit"}[s]
}

// Separable reports whether both variances were estimated from the data, each by its own
// degrees of freedom.
func (s MixedStatus) Separable() bool { return s == Interior || s == BoundaryZero }

// Mixed is a linear model with one random intercept, y = X b + Z u + e with independent
// u ~ N(0, σb²) for each group and e ~ N(0, σ²), fitted by restricted maximum likelihood.
type Mixed struct {
	Status MixedStatus
	// Rows, Rank and Groups count rows, independent fixed columns (eliminated levels
	// included) and groups.
	Rows, Rank, Groups int
	// BetweenDF and WithinDF split Rows - Rank: rank[X Z] - rank X, and rows - rank[X Z].
	BetweenDF, WithinDF int
	// Lambda is σb²/σ², +Inf when Unbounded, 0 when the two cannot be separated.
	Lambda float64
	// Sigma2 and SigmaB2 are the variances within and between groups.
	Sigma2, SigmaB2 float64
	// Criterion is -2 times the REML log likelihood, constants included.
	Criterion float64
	// Coef has one entry for each fixed column, NaN where Aliased.
	Coef    []float64
	Aliased []bool
	// Effects are the predicted random intercepts (BLUPs) of the groups named by GroupIDs, in
	// order of first appearance.
	Effects  []float64
	GroupIDs []int
	// Observed and Expected are the covariance matrices of (σb², σ²) from the observed and
	// the expected information, NaN where the two cannot be separated.
	Observed, Expected VarianceCov
	// Warnings are cautions about the numbers.
	Warnings []string

	basis contrastBasis
	at    profileLikelihood
	scale float64 // what the variances at σ² = 1 are multiplied by
}

// VarianceCov is the covariance of the estimated variances: of σb² with itself, of σb²
// with σ², and of σ² with itself.
type VarianceCov struct{ BB, BW, WW float64 }

// quadratic returns (g1 g2) V (g1 g2)'.
func (v VarianceCov) quadratic(g1, g2 float64) float64 {
	return float64(g1*g1*v.BB) + float64(2*g1*g2*v.BW) + float64(g2*g2*v.WW)
}

// contrastBasis turns a contrast over the caller's columns into one over the columns the
// likelihood was computed in, with its estimate.
type contrastBasis interface {
	reduce(c []float64) (core []float64, value float64, estimable bool)
}

// DFMethod chooses the small-sample degrees of freedom of a contrast.
type DFMethod int

const (
	// Satterthwaite matches the first two moments of the estimated variance of the contrast
	// (Satterthwaite 1946; Giesbrecht & Burns 1985) by the observed information. At the
	// boundary σb² = 0 it is Rows - Rank.
	Satterthwaite DFMethod = iota
	// KenwardRoger also enlarges the standard error for the uncertainty of the variances and
	// uses the expected information (Kenward & Roger 1997, Biometrics 53:983).
	KenwardRoger
)

// Contrast returns the estimate of c'b with its standard error and degrees of freedom.
// It is estimable also across aliased columns when c lies in the row space of X.
func (m *Mixed) Contrast(c []float64, method DFMethod) Estimate {
	if m.basis == nil || len(c) != len(m.Coef) || firstNotFinite(c) >= 0 {
		return notEstimable()
	}
	core, value, ok := m.basis.reduce(c)
	if !ok {
		return notEstimable()
	}
	e := Estimate{Value: value, SE: math.NaN(), Estimable: true}
	if m.Status == NoResidualDF {
		return e
	}
	// The variance c'(X'V⁻¹X)⁻¹c, with the degrees of freedom of what was estimated in it.
	w := m.at.solve(core)
	v := float64(m.scale * dot(core, w))
	e.SE, e.DF = math.Sqrt(v), float64(m.Rows-m.Rank)
	if m.Status == Unbounded {
		e.DF = float64(m.BetweenDF)
	}
	if !m.Status.Separable() || v == 0 {
		return e
	}
	g1, g2 := m.at.gradient(w)
	if method == KenwardRoger {
		e.SE = math.Sqrt(v + float64(2*m.Sigma2*m.at.kenwardRoger(w, m.Expected.scaled(m.Sigma2))))
		e.DF = float64(2*v*v) / m.Expected.quadratic(g1, g2)
	} else if m.Lambda > 0 {
		e.DF = m.satterthwaite(v, g1, g2)
	}
	return e
}

// Value returns the estimate of c'b alone, as [Mixed.Contrast] has it, NaN where it is not
// estimable.
func (m *Mixed) Value(c []float64) float64 {
	if m.basis == nil || len(c) != len(m.Coef) || firstNotFinite(c) >= 0 {
		return math.NaN()
	}
	if _, value, ok := m.basis.reduce(c); ok {
		return value
	}
	return math.NaN()
}

// satterthwaite falls back to the expected information where the observed one is singular
// to within rounding; at a maximum it is never negative.
func (m *Mixed) satterthwaite(v, g1, g2 float64) float64 {
	df := float64(2*v*v) / m.Observed.quadratic(g1, g2)
	if df > 0 && !math.IsInf(df, 1) {
		return df
	}
	return float64(2*v*v) / m.Expected.quadratic(g1, g2)
}

// scaled returns the covariance in units of σ² = 1.
func (v VarianceCov) scaled(sigma2 float64) VarianceCov {
	s := float64(sigma2 * sigma2)
	return VarianceCov{v.BB / s, v.BW / s, v.WW / s}
}
