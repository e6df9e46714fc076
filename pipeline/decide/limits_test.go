package decide

import (
	"math"
	"testing"

	"soletrial/pipeline/stats"
)

// uninformed is the limit in which the model is ordinary least squares: no day effect, a
// drift that may be anything, a fixed exponent, next to no prior of the block's spread.
func uninformed(exponent float64) Settings {
	s := speedAtPower()
	s.Prior.DaySD, s.Prior.BlockDF, s.Prior.DriftSD = 1e-7, 0.01, 1e4
	s.Prior.Exponent = Exponent{Mean: exponent}
	return s
}

// decision.md, "Checks": the limit is ordinary least squares within 1 %.
func TestLimitIsLeastSquares(t *testing.T) {
	trial := simulatedTrial{orders: []string{"ABBA", "BAAB", "ABAB"}, effects: map[rune]float64{'B': 0.012},
		block: 0.009}
	blocks := trial.blocks(4)
	ols := stats.Absorbed{Classes: 2, Covariates: stats.NewMatrix(len(blocks), 1)}
	for i, b := range blocks {
		ols.Y = append(ols.Y, b.Y-0.9*b.X)
		ols.Level = append(ols.Level, int(b.Session[1]))
		ols.Class = append(ols.Class, int(b.Shoe[0]-'A'))
		ols.Group = append(ols.Group, i) // one to a row: least squares
		ols.Covariates.Set(i, 0, b.TimeH)
	}
	leastSquares, err := stats.REMLAbsorbed(ols)
	if err != nil {
		t.Fatal(err)
	}
	want := leastSquares.Contrast([]float64{-1, 1, 0}, stats.Satterthwaite)
	low, high := want.Interval(0.95)
	got := fit(t, blocks, uninformed(0.9), Exact).Pair(1, 0, Sensor{}).D
	within(t, "difference", got.Mean, want.Value, 1e-6)
	within(t, "low", got.Low, low, 0.01*want.SE)
	within(t, "high", got.High, high, 0.01*want.SE)
	within(t, "chance to be worse", 2*(1-got.Above), want.P(), 0.01*want.P())
}

// The wear of two materials for the soles of shoes, each boy wearing both (Box, Hunter &
// Hunter 1978, Statistics for Experimenters, section 4.2, table 4.3): mean difference 0.41,
// standard error 0.12, t = 3.4 with 9 degrees of freedom there; 0.133 to 0.687 by R's
// t.test(paired = TRUE) on MASS::shoes, from memory.
func TestLimitOnTheBoysShoes(t *testing.T) {
	a := []float64{13.2, 8.2, 10.9, 14.3, 10.7, 6.6, 9.5, 10.8, 8.8, 13.3}
	b := []float64{14.0, 8.8, 11.2, 14.2, 11.8, 6.4, 9.8, 11.3, 9.3, 13.6}
	var blocks []Block
	for i := range a {
		boy := string(rune('a' + i))
		blocks = append(blocks, Block{Session: boy, Shoe: "A", Y: a[i], TimeH: math.NaN(), X: math.NaN()},
			Block{Session: boy, Shoe: "B", Y: b[i], TimeH: math.NaN(), X: math.NaN()})
	}
	d := fit(t, blocks, uninformed(0), Exact).Pair(1, 0, Sensor{}).D
	within(t, "difference", d.Mean, 0.41, 1e-9)
	within(t, "low", d.Low, 0.133, 1.5e-3)
	within(t, "high", d.High, 0.687, 1.5e-3)
	within(t, "p", 2*(1-d.Above), 0.008539, 1e-4)
}

// With next to no prior and hardly more blocks than shoes nothing says how much blocks vary:
// the answer is a very wide interval, and numbers all through.
func TestNothingToTellTheBlocksBy(t *testing.T) {
	s := uninformed(0)
	s.Drift = NoDrift
	for sessions := 1; sessions <= 4; sessions++ {
		var blocks []Block
		for i := range sessions {
			session := string(rune('a' + i))
			blocks = append(blocks, Block{Session: session, Shoe: "A", Y: 1.4, TimeH: math.NaN(), X: math.NaN()},
				Block{Session: session, Shoe: "B", Y: 1.41 + 0.003*float64(i%3), TimeH: math.NaN(), X: math.NaN()})
		}
		for _, accuracy := range []Accuracy{Exact, Coarse} {
			d := fit(t, blocks, s, accuracy).Pair(1, 0, Sensor{}).D
			if !(d.Low < d.Mean && d.Mean < d.High && d.Above > 0.5 && d.Above <= 1) || math.IsInf(d.SD, 0) ||
				math.IsInf(Percent(d.High), 0) {
				t.Errorf("%d sessions: %+v", sessions, d)
			}
		}
	}
}
