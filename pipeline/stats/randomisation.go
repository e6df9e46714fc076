package stats

import (
	"math"
	"math/rand/v2"
)

const (
	// ExactLimit is how many assignments are enumerated at most.
	ExactLimit = 200_000
	// MonteCarloDraws is how many are drawn when there are more, for up to 40 strata.
	MonteCarloDraws = 99_999
	// MinDraws is how many are drawn of however many strata.
	MinDraws = 1_999
)

// draws is how many assignments are drawn: with more than 40 strata fewer, so that
// the work stays about the same.
func draws(strata int) int {
	return max(MinDraws, min(MonteCarloDraws, 40*(MonteCarloDraws+1)/max(1, strata)-1))
}

// Randomisation is a test that rests on the random assignment alone: how often an
// admissible assignment gives a statistic as far from zero as the observed one.
type Randomisation struct {
	Observed float64
	// P is two-sided by |statistic|; PUpper and PLower are one-sided. NaN when the
	// statistic is not a number.
	P, PUpper, PLower float64
	// Exact says that all Assignments were enumerated; otherwise Assignments is the number
	// of draws and P counts the observed one with them, (k+1)/(draws+1).
	Exact       bool
	Assignments int
	// AtLeast counts assignments with |statistic| >= |Observed|.
	AtLeast int
	// Seed is the seed of the draws (PCG), kept also where none were needed.
	Seed uint64
}

// Randomise compares an observed statistic with its values over all admissible
// assignments. The assignment is made up of independent strata; stratum s has sizes[s]
// admissible ones, and statistic receives the index chosen in each. Up to [ExactLimit]
// combinations are enumerated, otherwise [MonteCarloDraws], or fewer where there are many
// strata, are drawn with the given seed.
// Values closer to the observed one than 1e-9 of the largest count as equal
// (Edgington & Onghena 2007).
func Randomise(sizes []int, statistic func(choice []int) float64, observed float64, seed uint64) Randomisation {
	r := Randomisation{Observed: observed, Seed: seed}
	total, exact := combinations(sizes)
	choice := make([]int, len(sizes))
	var values []float64
	switch {
	case total == 0:
	// Every choice of one order for each session, where there are few enough.
	case exact:
		r.Exact = true
		values = make([]float64, 0, total)
		for range total {
			values = append(values, statistic(choice))
			advance(choice, sizes)
		}
	// Else a sample of them, by a generator whose numbers the seed fixes.
	default:
		values = make([]float64, 0, draws(len(sizes)))
		source := rand.New(rand.NewPCG(seed, 0))
		for range cap(values) {
			for s, n := range sizes {
				choice[s] = source.IntN(n)
			}
			values = append(values, statistic(choice))
		}
	}
	r.count(values)
	return r
}

// combinations multiplies the sizes; exact is false beyond ExactLimit. A stratum without
// any assignment makes it 0.
func combinations(sizes []int) (total int, exact bool) {
	total, exact = 1, true
	for _, n := range sizes {
		if n <= 0 {
			return 0, false
		}
		if exact {
			total *= n
			exact = total <= ExactLimit
		}
	}
	return total, exact
}

// advance steps choice through all combinations, the last stratum fastest.
func advance(choice, sizes []int) {
	for s := len(choice) - 1; s >= 0; s-- {
		choice[s]++
		if choice[s] < sizes[s] {
			return
		}
		choice[s] = 0
	}
}

// count turns the values into p values.
func (r *Randomisation) count(values []float64) {
	r.Assignments = len(values)
	largest := math.Abs(r.Observed)
	for _, v := range values {
		largest = math.Max(largest, math.Abs(v))
	}
	tie := float64(1e-9 * largest)
	upper, lower := 0, 0
	for _, v := range values {
		if math.Abs(v) >= math.Abs(r.Observed)-tie {
			r.AtLeast++
		}
		if v >= r.Observed-tie {
			upper++
		}
		if v <= r.Observed+tie {
			lower++
		}
	}
	r.P, r.PUpper, r.PLower = r.share(r.AtLeast), r.share(upper), r.share(lower)
	if math.IsNaN(largest) || len(values) == 0 {
		r.P, r.PUpper, r.PLower = math.NaN(), math.NaN(), math.NaN()
	}
}

func (r *Randomisation) share(k int) float64 {
	if r.Exact {
		return float64(k) / float64(r.Assignments)
	}
	return float64(k+1) / float64(r.Assignments+1)
}

// RandomiseSum is [Randomise] for a statistic that is a sum over strata: values[s][i] is
// what stratum s adds under its assignment i.
func RandomiseSum(values [][]float64, observed float64, seed uint64) Randomisation {
	sizes := make([]int, len(values))
	for s, v := range values {
		sizes[s] = len(v)
	}
	return Randomise(sizes, func(choice []int) float64 {
		sum := 0.0
		for s, i := range choice {
			sum += values[s][i]
		}
		return sum
	}, observed, seed)
}
