package stats

import (
	"math"
	"testing"
)

// near fails when got and want differ by more than rel relative to want, or when only
// one of them is NaN or infinite.
func near(t testing.TB, what string, got, want, rel float64) {
	t.Helper()
	if got == want || math.IsNaN(got) && math.IsNaN(want) {
		return
	}
	if d := math.Abs(got - want); math.IsInf(want, 0) || !(d <= rel*math.Abs(want)) {
		t.Errorf("%s = %.17g, want %.17g (off by %.2g, relative %.2g)", what, got, want, d, d/math.Abs(want))
	}
}

// The helper itself must be able to fail.
func TestNear(t *testing.T) {
	for _, c := range []struct {
		got, want, rel float64
		fails          bool
	}{{1, 1, 0, false}, {1, 1.1, 0.01, true}, {nan, nan, 0, false}, {nan, 1, 1, true}, {1, nan, 1, true},
		{inf, inf, 0, false}, {-inf, inf, 1, true}, {5, inf, 1, true}, {inf, 5, 1, true}} {
		spy := &spyTB{TB: t}
		near(spy, "", c.got, c.want, c.rel)
		if spy.failed != c.fails {
			t.Errorf("near(%v, %v, %v) fails: %v", c.got, c.want, c.rel, spy.failed)
		}
	}
}

type spyTB struct {
	testing.TB
	failed bool
}

func (s *spyTB) Errorf(string, ...any) { s.failed = true }

// within is near with an absolute tolerance.
func within(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.17g, want %.17g within %g", what, got, want, tol)
	}
}

var (
	inf = math.Inf(1)
	nan = math.NaN()
)

// IncompleteBeta returns the regularised incomplete beta function I_x(a, b) for
// a, b > 0. It is 0 for x <= 0, 1 for x >= 1, NaN for other parameters.
func IncompleteBeta(x, a, b float64) float64 {
	switch {
	case math.IsNaN(x) || !(a > 0) || !(b > 0) || math.IsInf(a, 1) || math.IsInf(b, 1):
		return math.NaN()
	case x <= 0:
		return 0
	case x >= 1:
		return 1
	}
	return betaLower(x, 1-x, a, b)
}

// NormalTwoSided returns P(|Z| >= |z|).
func NormalTwoSided(z float64) float64 { return float64(2 * normalTail(math.Abs(z))) }

// StudentCDF returns P(T <= t) of Student's t with df > 0 degrees of freedom, which
// need not be whole; df = +Inf is the normal distribution. Other df give NaN.
func StudentCDF(t, df float64) float64 {
	if t > 0 {
		return 1 - StudentTail(t, df)
	}
	return StudentTail(-t, df)
}
