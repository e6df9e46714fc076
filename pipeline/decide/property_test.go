package decide

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

func fit(t testing.TB, blocks []Block, s Settings, accuracy Accuracy) *Posterior {
	t.Helper()
	p, err := Fit(blocks, s, accuracy)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestRowOrderDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		blocks := randomBlocks(t)
		shuffled := append([]Block(nil), blocks...)
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		r.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		a, errA := Fit(blocks, speedAtPower(), Coarse)
		b, errB := Fit(shuffled, speedAtPower(), Coarse)
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		x, y := a.Pairs(Sensor{}), b.Pairs(Sensor{})
		if !reflect.DeepEqual(x, y) {
			t.Errorf("pairs differ:\n%+v\n%+v", x, y) // also where there is no number: NaN is not itself
		}
	})
}

// Exchanging the names of two shoes exchanges the results.
func TestRelabellingFlips(t *testing.T) {
	s := simulatedTrial{orders: []string{"ABBA", "BAAB", "ABAB"}, effects: map[rune]float64{'B': 0.015}, block: 0.009,
		day: 0.004}
	blocks := s.blocks(3)
	flipped := append([]Block(nil), blocks...)
	for i := range flipped {
		flipped[i].Shoe = map[string]string{"A": "B", "B": "A"}[flipped[i].Shoe]
	}
	x, y := fit(t, blocks, speedAtPower(), Exact), fit(t, flipped, speedAtPower(), Exact)
	a, b := x.Pair(1, 0, Sensor{}).D, y.Pair(0, 1, Sensor{}).D
	for what, pair := range map[string][2]float64{
		"mean":   {a.Mean, b.Mean},
		"low":    {a.Low, b.Low},
		"high":   {a.High, b.High},
		"above":  {a.Above, b.Above},
		"within": {a.Within, b.Within},
		"apart":  {a.ApartAtMost, b.ApartAtMost},
	} {
		within(t, what, pair[0], pair[1], 1e-8)
	}
}

func TestPairIsMirrored(t *testing.T) {
	blocks, s, _ := readCase(t, "testdata/cases/d25-three-runners")
	p := fit(t, blocks, s, Coarse)
	sensor := Sensor{Correction: []float64{0.002, -0.001}, SD: []float64{0.003, 0.001}}
	x, y := p.Pair(0, 1, sensor), p.Pair(1, 0, sensor)
	check := func(what string, a, b Difference) {
		within(t, what+" mean", a.Mean, -b.Mean, 1e-12)
		within(t, what+" low", a.Low, -b.High, 1e-9)
		within(t, what+" above", a.Above, 1-b.Above, 1e-9)
		within(t, what+" within", a.Within, b.Within, 1e-9)
	}
	check("long run", x.D, y.D)
	day, newRunner := oneDay(p, 0, 1, sensor), p.newRunner(0, 1, sensor)
	check("one day", day, oneDay(p, 1, 0, sensor))
	check("a new runner", newRunner, p.newRunner(1, 0, sensor))
	if low, high := p.NewRunnerInterval(0, 1, sensor); low != newRunner.Low || high != newRunner.High {
		t.Errorf("the interval alone is %g to %g, with the rest %g to %g", low, high, newRunner.Low, newRunner.High)
	}
	if len(p.Runners) != 3 {
		t.Fatalf("%d runners, want 3", len(p.Runners))
	}
	for r, runner := range p.Runners {
		check("runner "+runner, p.OneDayOf(0, 1, r, sensor), p.OneDayOf(1, 0, r, sensor))
	}
	if !(newRunner.SD > day.SD && day.SD > x.D.SD) {
		t.Errorf("a new runner %g, one day %g, the long run %g: each must be less certain than the next",
			newRunner.SD, day.SD, x.D.SD)
	}
}

// A session that says nothing of shoes or spreads changes nothing; one of other shoes
// changes the spreads only.
func TestUnrelatedSession(t *testing.T) {
	s := simulatedTrial{orders: []string{"ABBA", "BAAB"}, effects: map[rune]float64{'B': 0.01}, block: 0.009,
		day: 0.004}
	blocks := s.blocks(5)
	alone := Block{Session: "t", Level: "268", Runner: "r1", Shoe: "C", Y: 1.2, TimeH: 0.1, X: 0}
	x, y := fit(t, blocks, speedAtPower(), Exact), fit(t, append(blocks, alone), speedAtPower(), Exact)
	within(t, "mean", y.Pair(1, 0, Sensor{}).D.Mean, x.Pair(1, 0, Sensor{}).D.Mean, 1e-12)
	within(t, "SD", y.Pair(1, 0, Sensor{}).D.SD, x.Pair(1, 0, Sensor{}).D.SD, 1e-12)
	if len(y.Groups) != 2 || y.Pair(0, 2, Sensor{}).Comparable {
		t.Errorf("groups %v: C is linked to nothing", y.Groups)
	}

	others := simulatedTrial{orders: []string{"CDDC", "DCCD"}, block: 0.05}.blocks(6)
	for i := range others {
		others[i].Session = "u" + others[i].Session
	}
	z := fit(t, append(blocks, others...), speedAtPower(), Exact)
	if z.Spreads.Sigma.Mean <= x.Spreads.Sigma.Mean {
		t.Errorf("blocks of other shoes that differ more leave the block spread at %g", z.Spreads.Sigma.Mean)
	}
}

// What is in every block of a session and level is the session's: it changes nothing.
func TestSessionShiftsDoNotMatter(t *testing.T) {
	blocks, s, _ := readCase(t, "testdata/cases/d14-two-levels")
	shifted := append([]Block(nil), blocks...)
	for i := range shifted {
		if shifted[i].Session == "s01" {
			shifted[i].TimeH += 11
		}
		if shifted[i].Level == "230" {
			shifted[i].Y += 0.3
			shifted[i].X += 0.01
		}
	}
	x, y := fit(t, blocks, s, Exact).Pair(0, 1, Sensor{}).D, fit(t, shifted, s, Exact).Pair(0, 1, Sensor{}).D
	within(t, "mean", y.Mean, x.Mean, 1e-9)
	within(t, "SD", y.SD, x.SD, 1e-9)
}

func TestChancesAddUp(t *testing.T) {
	for _, dir := range caseDirs(t) {
		blocks, s, _ := readCase(t, dir)
		p := fit(t, blocks, s, Coarse)
		best := p.best(Sensor{})
		for _, group := range p.Groups {
			sum := 0.0
			for _, j := range group {
				sum += best[j]
			}
			if len(group) > 1 {
				within(t, dir+": chances", sum, 1, 1e-9)
			}
		}
	}
}

// Five shoes: the lattice against plain draws, 200,000 of them, whose standard error is 0.001.
func TestBestOfManyIsWhatDrawsSay(t *testing.T) {
	trial := simulatedTrial{orders: []string{"ABCDE", "EDCBA", "CAEBD"}, block: 0.009, day: 0.004,
		effects: map[rune]float64{'B': 0.004, 'C': 0.006, 'E': 0.003}}
	p := fit(t, trial.blocks(8), speedAtPower(), Exact)
	sensor := Sensor{SD: []float64{0.003, 0.003, 0.001, 0, 0.004}}
	best := p.best(sensor)
	r := rand.New(rand.NewPCG(1, 2))
	const draws = 200_000
	won := make([]float64, 5)
	for range draws {
		u, i := r.Float64(), 0
		for u -= p.nodes[0].weight; u > 0 && i < len(p.nodes)-1; u -= p.nodes[i].weight {
			i++
		}
		won[drawBest(effectsOf(&p.nodes[i], &p.nodes[i].shoes), sensor, r)] += 1. / draws
	}
	for j := range won {
		within(t, "chance of "+p.Shoes[j], best[j], won[j], 0.004)
	}
}

// drawBest draws all effects by a Cholesky factor of its own and returns the largest.
func drawBest(e effects, sensor Sensor, r *rand.Rand) int {
	n := len(e.mean)
	l := make([]float64, n*n)
	for i := range n {
		for j := range i + 1 {
			v := e.cov[i*n+j]
			for k := range j {
				v -= l[i*n+k] * l[j*n+k]
			}
			switch {
			case i == j:
				l[i*n+i] = math.Sqrt(math.Max(v, 0))
			case l[j*n+j] > 0:
				l[i*n+j] = v / l[j*n+j]
			}
		}
	}
	z := make([]float64, n)
	for i := range z {
		z[i] = r.NormFloat64()
	}
	best, top := 0, math.Inf(-1)
	for i := range n {
		x := e.mean[i] + sensor.SD[i]*r.NormFloat64()
		for j := range i + 1 {
			x += l[i*n+j] * z[j]
		}
		if x > top {
			best, top = i, x
		}
	}
	return best
}
