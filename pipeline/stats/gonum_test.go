package stats

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// gonum's distributions are an independent implementation.
func TestDistributionsAgainstGonum(t *testing.T) {
	for _, df := range []float64{0.8, 1, 2.5, 7, 30, 200} {
		student := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}
		chi := distuv.ChiSquared{K: df}
		for _, x := range []float64{0.1, 0.4, 1.2, 3, 6} {
			name := fmt.Sprintf("(%g, %g)", x, df)
			near(t, "StudentCDF"+name, StudentCDF(x, df), student.CDF(x), 1e-11)
			near(t, "StudentCDF-"+name, StudentCDF(-x, df), student.CDF(-x), 1e-10)
			within(t, "ChiSquareTail"+name, ChiSquareTail(x*df, df), 1-chi.CDF(x*df), 1e-13)
			near(t, "NormalCDF"+name, NormalCDF(x), distuv.UnitNormal.CDF(x), 1e-14)
		}
		for _, p := range []float64{0.01, 0.3, 0.5, 0.8} {
			beta := distuv.Beta{Alpha: df, Beta: 2}
			near(t, fmt.Sprintf("IncompleteBeta(%g, %g, 2)", p, df), IncompleteBeta(p, df, 2), beta.CDF(p), 1e-12)
			near(t, fmt.Sprintf("NormalQuantile(%g)", p), NormalQuantile(p), distuv.UnitNormal.Quantile(p), 1e-13)
		}
	}
}

// The criterion by its definition, with dense matrices from gonum:
// ν ln(2π) + ln|V| + ln|X'V⁻¹X| + r'V⁻¹r for the fitted variances.
func TestCriterionByDefinition(t *testing.T) {
	d := machines(t, false)
	x, m := machinesModel(t, d)
	n, p := d.rows, len(x.cols)
	machine, _ := d.codes("Machine", nil)
	worker, _ := d.codes("Worker", nil)
	group := pairCodes(worker, machine)
	v := mat.NewDense(n, n, nil)
	for i := range n {
		for j := range n {
			if group[i] == group[j] {
				v.Set(i, j, m.SigmaB2)
			}
		}
		v.Set(i, i, m.SigmaB2+m.Sigma2)
	}
	design := mat.NewDense(n, p, x.matrix().Data)
	r := mat.NewVecDense(n, d.num("score"))
	fitted := mat.NewVecDense(n, nil)
	fitted.MulVec(design, mat.NewVecDense(p, m.Coef))
	r.SubVec(r, fitted)
	var inverse, xv, xvx mat.Dense
	if err := inverse.Inverse(v); err != nil {
		t.Fatal(err)
	}
	xv.Mul(design.T(), &inverse)
	xvx.Mul(&xv, design)
	logV, _ := mat.LogDet(v)
	logX, _ := mat.LogDet(&xvx)
	want := float64(n-p)*math.Log(2*math.Pi) + logV + logX + mat.Inner(r, &inverse, r)
	near(t, "criterion", m.Criterion, want, 1e-12)
	var covariance mat.Dense
	if err := covariance.Inverse(&xvx); err != nil {
		t.Fatal(err)
	}
	for j, name := range x.names {
		e := m.Contrast(x.contrast(name, ""), Satterthwaite)
		near(t, name+" SE", e.SE, math.Sqrt(covariance.At(j, j)), 1e-10)
	}
}
