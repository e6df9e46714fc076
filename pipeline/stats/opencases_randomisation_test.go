package stats

import (
	"math"
	"testing"
)

// All four folders R*; see openCaseGaps for R04.
func TestOpenCasesRandomisation(t *testing.T) {
	eachOpenCase(t, "R", 4, func(c openCase) {
		check, ok := map[string]func(openCase){"R01": openCase.twoOfFour, "R02": openCase.fiveOfTen,
			"R03": openCase.labels, "R04": openCase.twoGroups}[c.results.path[:3]]
		if !ok {
			c.Fatal("no check for this folder")
		}
		check(c)
	})
}

// twoOfFour: each of six blocks of four could have had any two plots treated.
func (c openCase) twoOfFour() {
	y, treated := c.data.num("yield"), c.data.text("N")
	values := make([][]float64, 6)
	observed := 0.0
	for b := range values {
		yb := y[4*b : 4*b+4]
		for mask := range 16 {
			sum, on, actual := 0.0, 0, 0
			for i, v := range yb {
				if mask>>i&1 == 1 {
					sum += v / 2 / 6
					on++
				} else {
					sum -= v / 2 / 6
				}
				if treated[4*b+i] == "1" {
					actual |= 1 << i
				}
			}
			if on == 2 {
				values[b] = append(values[b], sum)
			}
			if mask == actual {
				observed += sum
			}
		}
	}
	w := c.results.at("test")
	r := RandomiseSum(values, observed, 7)
	if !r.Exact || r.Seed != 7 {
		c.Errorf("exact %v, seed %d", r.Exact, r.Seed)
	}
	near(c, "observed", r.Observed, w.num("observed"), 1e-12)
	near(c, "assignments", float64(r.Assignments), w.num("assignments"), 0)
	near(c, "count", float64(r.AtLeast), w.num("count_two_sided"), 0)
	within(c, "p", r.P, w.num("p_two_sided"), 1e-12)
	within(c, "p upper", r.PUpper, w.num("p_upper"), 1e-12)
	within(c, "p lower", r.PLower, w.num("p_lower"), 1e-12)
}

// fiveOfTen: one stratum, all patterns with five of ten pairs in one order.
func (c openCase) fiveOfTen() {
	d, pattern := c.data.num("d"), c.data.num("pattern")
	var values []float64
	for mask := range 1 << 10 {
		sum, on := 0.0, 0
		for i := range d {
			s := -1.0
			if mask>>i&1 == 1 {
				s, on = 1, on+1
			}
			sum += d[i] * pattern[i] * s / 10
		}
		if on == 5 {
			values = append(values, sum)
		}
	}
	r := RandomiseSum([][]float64{values}, Mean(d), 0)
	near(c, "observed", r.Observed, c.results.num("observed"), 1e-12)
	near(c, "assignments", float64(r.Assignments), c.results.num("assignments"), 0)
	near(c, "count", float64(r.AtLeast), c.results.num("count_two_sided"), 0)
	within(c, "p", r.P, c.results.num("p_two_sided"), 1e-12)
	within(c, "p upper", r.PUpper, c.results.num("p_upper"), 1e-12)
}

// labels: the three labels permuted within each of six sessions.
func (c openCase) labels() {
	y := c.data.num("mean_score")
	orders := [][3]int{{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}}
	means := func(choice []int) (m [3]float64) {
		for s, o := range choice {
			for k, from := range orders[o] {
				m[k] += y[6*from+s] / 6
			}
		}
		return m
	}
	omnibus := func(choice []int) float64 { m := means(choice); return Variance(m[:]) * 2 }
	span := func(choice []int) float64 {
		m := means(choice)
		return max(m[0], m[1], m[2]) - min(m[0], m[1], m[2])
	}
	difference := func(choice []int) float64 { m := means(choice); return m[1] - m[0] }
	sizes, none := []int{6, 6, 6, 6, 6, 6}, make([]int, 6)
	for prefix, f := range map[string]func([]int) float64{"omnibus": omnibus, "BA": difference, "range": span} {
		r := Randomise(sizes, f, f(none), 3)
		observed, count, p := "_obs", "_count", "_p"
		switch prefix {
		case "omnibus":
			observed = "_stat"
		case "BA":
			count, p = "_count_two_sided", "_p_two_sided"
		}
		near(c, prefix, r.Observed, c.results.num(prefix+observed), 1e-12)
		near(c, prefix+" assignments", float64(r.Assignments), c.results.num("assignments"), 0)
		near(c, prefix+" count", float64(r.AtLeast), c.results.num(prefix+count), 0)
		within(c, prefix+" p", r.P, c.results.num(prefix+p), 1e-12)
	}
}

// twoGroups: strata of a halving tree cannot express "any 12 of 24", so the draws are
// permutations coded as 24 falling choices.
func (c openCase) twoGroups() {
	time, group := c.data.num("time"), c.data.text("group")
	total := 0.0
	observed := 0.0
	for i, v := range time {
		total += v
		if group[i] == "control" {
			observed += v / 12
		} else {
			observed -= v / 12
		}
	}
	within(c, "difference", observed, c.results.num("mean_diff_first_minus_second"), 1e-9)
	sizes := make([]int, 12)
	for i := range sizes {
		sizes[i] = 24 - i
	}
	r := Randomise(sizes, func(choice []int) float64 {
		pool := append([]float64(nil), time...)
		sum := 0.0
		for i, k := range choice {
			j := i + k
			pool[i], pool[j] = pool[j], pool[i]
			sum += pool[i]
		}
		return (2*sum - total) / 12
	}, observed, 11)
	want := c.results.num("mean_diff_p_exact")
	if r.Exact || r.Assignments != MonteCarloDraws {
		c.Errorf("exact %v, %d assignments", r.Exact, r.Assignments)
	}
	within(c, "Monte Carlo p", r.P, want, 4*math.Sqrt(want*(1-want)/MonteCarloDraws))
}
