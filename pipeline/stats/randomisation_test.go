package stats

import (
	"math"
	"testing"
)

// Fisher (1935): 863 of 32768 sums as large as Darwin's; two-sided 1726.
func TestSignFlipMaize(t *testing.T) {
	r := signFlip(readTable(t, "testdata/darwin_maize_diffs.csv").num("diff_eighth_inch"), 42)
	if !r.Exact || r.Assignments != 32768 || r.AtLeast != 1726 || r.Seed != 42 {
		t.Errorf("%+v", r)
	}
	near(t, "mean", r.Observed, 314./15, 1e-14)
	near(t, "p", r.P, 0.05267333984375, 0)
	near(t, "upper", r.PUpper, 863./32768, 0)
	near(t, "lower", r.PLower, 0.974517822265625, 0)
}

func TestSignFlipFew(t *testing.T) {
	r := signFlip([]float64{1, 2, 3}, 0)
	near(t, "p of three", r.P, 0.25, 0)
	near(t, "upper", r.PUpper, 0.125, 0)
	near(t, "lower", r.PLower, 1, 0)
	near(t, "p of a zero", signFlip([]float64{0}, 0).P, 1, 0)
	for _, r := range []Randomisation{signFlip(nil, 0), signFlip([]float64{nan, 1}, 0), Randomise([]int{2, 0},
		func([]int) float64 { return 1 }, 1, 0)} {
		if !math.IsNaN(r.P) || !math.IsNaN(r.PUpper) || !math.IsNaN(r.PLower) {
			t.Errorf("%+v, want no p value", r)
		}
	}
}

// Every combination is visited once, the last stratum fastest.
func TestRandomiseEnumerates(t *testing.T) {
	var seen []int
	r := Randomise([]int{2, 1, 3}, func(c []int) float64 {
		seen = append(seen, 100*c[0]+10*c[1]+c[2])
		return float64(c[2])
	}, 2, 0)
	want := []int{0, 1, 2, 100, 101, 102}
	if len(seen) != len(want) {
		t.Fatal(seen)
	}
	for i := range want {
		if seen[i] != want[i] {
			t.Fatalf("visited %v, want %v", seen, want)
		}
	}
	near(t, "p", r.P, 1./3, 1e-15)
	near(t, "lower", r.PLower, 1, 0)
}

// A sum over strata of unequal contributions, by hand: 3-1, 3+2, 0-1, 0+2.
func TestRandomiseSum(t *testing.T) {
	r := RandomiseSum([][]float64{{3, 0}, {-1, 2}}, 2, 8)
	near(t, "upper", r.PUpper, 3./4, 0) // 2, 5, 2
	near(t, "lower", r.PLower, 3./4, 0) // 2, -1, 2
	near(t, "two-sided", r.P, 3./4, 0)
	if r.AtLeast != 3 || r.Assignments != 4 || r.Observed != 2 || r.Seed != 8 {
		t.Errorf("%+v", r)
	}
	near(t, "not reached", RandomiseSum([][]float64{{3, 0}, {-1, 2}}, 5.1, 0).P, 0, 0)
	// a value within rounding of the observed one counts as equal, one further off does not
	near(t, "tie", RandomiseSum([][]float64{{1, 1 - 1e-10, 1 - 1e-8}}, 1, 0).P, 2./3, 0)
}

// 447 x 447 = 199,809 assignments are enumerated, 448 x 448 = 200,704 are not.
func TestRandomiseLimit(t *testing.T) {
	flat := func([]int) float64 { return 0 }
	if r := Randomise([]int{447, 447}, flat, 0, 0); !r.Exact || r.Assignments != 447*447 || r.P != 1 {
		t.Errorf("%+v", r)
	}
	if r := Randomise([]int{448, 448}, flat, 0, 0); r.Exact || r.Assignments != MonteCarloDraws || r.P != 1 {
		t.Errorf("%+v", r)
	}
	many := make([]int, 80) // twice as many strata, half as many draws; always some
	for i := range many {
		many[i] = 2
	}
	if r := Randomise(many, flat, 0, 0); r.Exact || r.Assignments != (MonteCarloDraws+1)/2-1 {
		t.Errorf("80 strata: %+v", r)
	}
	if few := draws(100_000); few != MinDraws {
		t.Errorf("100000 strata: %d draws", few)
	}
	if total, exact := combinations([]int{400, 500}); total != ExactLimit || !exact {
		t.Errorf("%d, %v", total, exact)
	}
	if _, exact := combinations([]int{math.MaxInt, 2, math.MaxInt}); exact {
		t.Error("overflow counts as exact")
	}
}

// The draws depend on the seed alone, and their p value counts the observed assignment.
func TestRandomiseMonteCarlo(t *testing.T) {
	d := make([]float64, 30)
	for i := range d {
		d[i] = math.Sqrt(float64(i)) - 3
	}
	a, b, c := signFlip(d, 5), signFlip(d, 5), signFlip(d, 6)
	if a != b || a == c || a.Exact {
		t.Errorf("%+v, %+v, %+v", a, b, c)
	}
	near(t, "p", a.P, float64(a.AtLeast+1)/100000, 1e-15)
	e := MeanOf(d)
	within(t, "p beside the t test", a.P, e.P(), 0.02)
	never := Randomise([]int{1000, 1000}, func([]int) float64 { return 0 }, 1, 9)
	near(t, "smallest p", never.P, 1e-5, 1e-12)
	near(t, "lower", never.PLower, 1, 0)
}

// signFlip is the randomisation test of the mean of differences when each pair could as
// well have been the other way round (Fisher 1935, section 21).
func signFlip(d []float64, seed uint64) Randomisation {
	values := make([][]float64, len(d))
	n := float64(len(d))
	observed := 0.0
	for i, v := range d {
		values[i] = []float64{v / n, -v / n}
		observed += v / n
	}
	if len(d) == 0 {
		observed = math.NaN()
	}
	return RandomiseSum(values, observed, seed)
}
