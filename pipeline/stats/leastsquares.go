package stats

import (
	"fmt"
	"math"
)

// Fit is a least squares fit.
type Fit struct {
	// Coef holds one coefficient for each column, NaN where Aliased.
	Coef []float64
	// Aliased marks the columns that are combinations of earlier ones.
	Aliased []bool
	// Rank is the number of columns not aliased, ResidualDF rows minus Rank.
	Rank, ResidualDF int
	// ResidualSS is the residual sum of squares, exactly 0 when only the rounding of y is
	// left; Sigma is the root of ResidualSS/ResidualDF, NaN without residual degrees of freedom.
	ResidualSS, Sigma float64
	// Residuals has one entry for each row.
	Residuals []float64
	// Leverages is the diagonal of the hat matrix.
	Leverages []float64

	qr   *qr
	coef []float64 // by place
}

// LeastSquares fits y = X b by Householder QR without forming normal equations.
// Columns that depend on earlier ones to within [RankTolerance] are aliased and do not
// take part. One step of refinement, with residuals computed as if in twice the working
// precision, keeps the digits when y is large beside its residuals.
//
// The error says which lengths differ or which entry is not finite. Too few rows are
// not an error: the later columns are then aliased.
func LeastSquares(x Matrix, y []float64) (Fit, error) {
	if err := checkRegression(x, y); err != nil {
		return Fit{}, fmt.Errorf("least squares: %w", err)
	}
	cols := make([][]float64, x.Cols)
	for j := range cols {
		cols[j] = x.column(j)
	}
	f := factor(cols, x.Rows)
	b := make([]float64, f.rank)
	res := append([]float64(nil), y...)
	for range 3 {
		addScaled(b, 1, f.solve(append([]float64(nil), res...)))
		res = exactResiduals(x, y, f, b)
	}
	return newFit(x, y, f, b, f.project(res)), nil
}

// exactResiduals returns y - X b, each rounded once.
func exactResiduals(x Matrix, y []float64, f *qr, b []float64) []float64 {
	r := make([]float64, len(y))
	for i := range r {
		s := exactSum{hi: y[i]}
		row := x.Row(i)
		for k, v := range b {
			s.addProduct(-row[f.order[k]], v)
		}
		r[i] = s.value()
	}
	return r
}

// project removes from r what the columns still explain: the rounding of b.
func (f *qr) project(r []float64) []float64 {
	f.reflectFrom(0, r)
	clear(r[:f.rank])
	f.reflectBack(r)
	return r
}

func newFit(x Matrix, y []float64, f *qr, b, res []float64) Fit {
	fit := Fit{
		Coef: make([]float64, x.Cols), Aliased: make([]bool, x.Cols),
		Rank: f.rank, ResidualDF: x.Rows - f.rank,
		ResidualSS: dot(res, res), Sigma: math.NaN(),
		Residuals: res, Leverages: f.leverages(), qr: f, coef: b,
	}
	for k, j := range f.order {
		if fit.Aliased[j] = k >= f.rank; fit.Aliased[j] {
			fit.Coef[j] = math.NaN()
		} else {
			fit.Coef[j] = b[k]
		}
	}
	if fit.ResidualDF == 0 || negligible(fit.ResidualSS, norm(y)) {
		fit.ResidualSS = 0
		clear(fit.Residuals)
	}
	if fit.ResidualDF > 0 {
		fit.Sigma = math.Sqrt(fit.ResidualSS / float64(fit.ResidualDF))
	}
	return fit
}

// negligible reports whether a sum of squares is the rounding to binary numbers of
// responses of the given norm.
func negligible(ss, size float64) bool { return math.Sqrt(ss) <= float64(2e-15*size) }

// Contrast returns the estimate of c'b, where c has one entry for each column. It is
// estimable also across aliased columns when c lies in the row space of X, checked to
// 1e-7 of the largest term. A c of another length is not estimable.
func (f Fit) Contrast(c []float64) Estimate {
	if f.qr == nil || len(c) != len(f.Coef) || firstNotFinite(c) >= 0 {
		return notEstimable()
	}
	z, ok := f.qr.rowSpace(c)
	if !ok {
		return notEstimable()
	}
	e := Estimate{Value: dot(z, f.coef), DF: float64(f.ResidualDF), Estimable: true}
	f.qr.forwardSolve(z)
	e.SE = float64(f.Sigma * norm(z))
	return e
}
