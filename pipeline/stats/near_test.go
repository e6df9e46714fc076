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
	if d := math.Abs(got - want); !(d <= rel*math.Abs(want)) {
		t.Errorf("%s = %.17g, want %.17g (off by %.2g, relative %.2g)", what, got, want, d, d/math.Abs(want))
	}
}

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
