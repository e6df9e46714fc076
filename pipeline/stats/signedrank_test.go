package stats

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func differences(t testing.TB, file, a, b string) []float64 {
	d := readTable(t, "testdata/"+file)
	x, y := d.num(a), d.num(b)
	for i := range x {
		x[i] -= y[i]
	}
	return x
}

func TestSignedRankPublished(t *testing.T) {
	for _, c := range []struct {
		name               string
		d                  []float64
		n, zeros           int
		v, p, upper, lower float64
	}{
		// Hollander & Wolfe (1973) p. 29: V = 40, one-sided p = 0.01953125
		{"depression", differences(t, "hollander_wolfe_depression.csv", "before", "after"), 9, 0, 40, 0.0390625,
			0.01953125, 0.986328125},
		// Student (1908), one zero dropped; R exactRankTests and coin
		{"sleep", readTable(t, "testdata/student_sleep.csv").num("diff"), 9, 1, 45, 0.00390625, 0.001953125, 1},
		// Darwin's maize (Fisher 1935); R exactRankTests and coin
		{"maize", readTable(t, "testdata/darwin_maize_diffs.csv").num("diff_eighth_inch"), 15, 0, 96, 0.041259765625,
			0.0206298828125, 0.982330322265625},
		// by hand: midranks 1.5, 1.5, 3; P(V >= 4.5) = P(V = 4.5 or 6)
		{"ties", []float64{-1, 1, 2}, 3, 0, 4.5, 0.75, 0.375, 0.875},
		{"ties by rounding", []float64{-0.1, 0.3 - 0.2, 0.2}, 3, 0, 4.5, 0.75, 0.375, 0.875},
		{"ties by rounding of large numbers", []float64{-1e5, (0.3 - 0.2) * 1e6, 2e5}, 3, 0, 4.5, 0.75, 0.375, 0.875},
		{"no ties among small numbers", []float64{-1e-9, 1.01e-9, 2e-9}, 3, 0, 5, 0.5, 0.25, 0.875},
		{"one", []float64{-2}, 1, 0, 0, 1, 1, 0.5},
		{"none", []float64{0, 0}, 0, 2, 0, 1, 1, 1},
		{"empty", nil, 0, 0, 0, 1, 1, 1},
	} {
		r := SignedRank(c.d)
		if r.N != c.n || r.Zeros != c.zeros || !r.Exact {
			t.Errorf("%s: %+v", c.name, r)
		}
		near(t, c.name+" V", r.V, c.v, 0)
		near(t, c.name+" p", r.P, c.p, 1e-14)
		near(t, c.name+" upper", r.PUpper, c.upper, 1e-14)
		near(t, c.name+" lower", r.PLower, c.lower, 1e-14)
	}
	if r := SignedRank([]float64{1, nan}); !math.IsNaN(r.P) || !math.IsNaN(r.V) {
		t.Errorf("missing value: %+v", r)
	}
}

// Just above the limit the approximation serves, and there it agrees with the exact tails
// to a few percent.
func TestSignedRankNormalApproximation(t *testing.T) {
	var d []float64
	for i := range 201 {
		v := float64(i + 1)
		if i%5 < 2 {
			v = -v
		}
		d = append(d, v)
	}
	r := SignedRank(d)
	if r.Exact || !SignedRank(d[:200]).Exact {
		t.Error("the limit is not 200")
	}
	ranks, positive := doubledRanks(d)
	v := 0
	for i, k := range ranks {
		if positive[i] {
			v += k
		}
	}
	// V with mean n(n+1)/4 and variance n(n+1)(2n+1)/24, continuity correction 1/2
	mean, sd := 201*202/4., math.Sqrt(201*202*403/24.)
	near(t, "lower by the formula", r.PLower, NormalCDF((r.V-mean+0.5)/sd), 1e-12)
	near(t, "upper by the formula", r.PUpper, NormalCDF((mean-r.V+0.5)/sd), 1e-12)
	lower, upper := signedRankTails(ranks, v)
	within(t, "lower", r.PLower, lower, 2e-4)
	near(t, "upper", r.PUpper, upper, 0.02)
	near(t, "p", r.P, 2*upper, 0.02)
}

// Turning every difference round exchanges the tails; scaling changes nothing.
func TestSignedRankSymmetry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 14).Draw(t, "n")
		d, back := make([]float64, n), make([]float64, n)
		for i := range d {
			d[i] = float64(rapid.IntRange(-6, 6).Draw(t, "d"))
			back[n-1-i] = -2.5 * d[i]
		}
		a, b := SignedRank(d), SignedRank(back)
		if a.P != b.P || a.PUpper != b.PLower || a.PLower != b.PUpper || a.V+b.V != float64(a.N*(a.N+1))/2 {
			t.Fatalf("%+v and %+v", a, b)
		}
	})
}
