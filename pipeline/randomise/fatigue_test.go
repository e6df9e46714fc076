package randomise

import (
	"math"
	"math/rand/v2"
	"testing"

	"soletrial/pipeline/stats"
)

// difference fits shoes and a straight drift, as the analysis does, and returns
// shoe 1 less shoe 0.
func difference(t *testing.T, shoes int, order []int, y []float64) float64 {
	t.Helper()
	d := stats.Absorbed{Y: y, Level: make([]int, len(order)), Class: order, Classes: shoes,
		Covariates: stats.NewMatrix(len(order), 1)}
	for i := range order {
		d.Group = append(d.Group, i) // one to a row: least squares
		d.Covariates.Set(i, 0, float64(i)-float64(len(order)-1)/2)
	}
	fit, err := stats.REMLAbsorbed(d)
	if err != nil {
		t.Fatal(err)
	}
	contrast := make([]float64, shoes+1)
	contrast[0], contrast[1] = -1, 1
	return fit.Contrast(contrast, stats.Satterthwaite).Value
}

// fatigue is percent of speed lost by block i: a straight part, a curved part and
// a slow first block.
func fatigue(i int) float64 {
	x := float64(i)
	lost := 0.25*x + 0.04*x*x
	if i == 0 {
		lost += 0.5
	}
	return lost
}

// Under a drift that the model does not hold the estimate is off in any one order,
// but over the draw it is right, since every order comes with those in which the shoes
// have changed over. From three blocks of each shoe on it is off by less than in a random
// order, too.
func TestFatigueLeavesEstimatesUnbiased(t *testing.T) {
	const truth = 1.5
	source := rand.New(rand.NewPCG(11, 11))
	t.Log("shoes blocks   mean error over the set   largest   random orders: root mean square")
	for _, c := range designs {
		if c.blocks%c.shoes != 0 {
			continue // the shoe with the extra block cannot change over with another
		}
		d, err := New(named(c.shoes), c.blocks, nil, 5)
		if err != nil {
			t.Fatal(err)
		}
		off := func(order []int) float64 {
			y := make([]float64, len(order))
			for i, s := range order {
				y[i] = 100 - fatigue(i)
				if s == 1 {
					y[i] += truth
				}
			}
			return difference(t, c.shoes, order, y) - truth
		}
		set := d.Set()
		sum, squares, largest := 0.0, 0.0, 0.0
		for _, order := range set.Orders {
			e := off(order)
			sum, squares, largest = sum+e, squares+e*e, max(largest, math.Abs(e))
		}
		n := float64(len(set.Orders))
		mean, root := sum/n, math.Sqrt(squares/n)
		randomSquares, drawn := 0.0, 0
		order := inRow(d.Blocks)
		for range 300 {
			source.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
			if e := off(order); e == e {
				randomSquares += e * e
				drawn++
			}
		}
		random := math.Sqrt(randomSquares / float64(drawn))
		t.Logf("%5d %6d %25.6f %9.3f %20.3f", c.shoes, c.blocks, mean, largest, random)
		if math.Abs(mean) > 1e-9 {
			t.Errorf("%d shoes, %d blocks: off by %v on average", c.shoes, c.blocks, mean)
		}
		if !(root < random) && c.blocks > 2*c.shoes { // two blocks of each are mirrored, and a curve passes for a shoe
			t.Errorf("%d shoes, %d blocks: error %v, in random orders %v", c.shoes, c.blocks, root, random)
		}
	}
}
