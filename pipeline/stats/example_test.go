package stats_test

import (
	"fmt"

	"soletrial/pipeline/stats"
)

// Yields of six batches, five preparations each (Davies & Goldsmith 1972, section 6.2).
func ExampleREML() {
	y := []float64{
		1545, 1440, 1440, 1520, 1580, 1540, 1555, 1490, 1560, 1495, 1595, 1550, 1605, 1510, 1560,
		1445, 1440, 1595, 1465, 1545, 1595, 1630, 1515, 1635, 1625, 1520, 1455, 1450, 1480, 1445,
	}
	x, batch := stats.NewMatrix(30, 1), make([]int, 30)
	for i := range y {
		x.Set(i, 0, 1)
		batch[i] = i / 5
	}
	m, err := stats.REML(x, y, batch)
	if err != nil {
		fmt.Println(err)
		return
	}
	mean := m.Contrast([]float64{1}, stats.Satterthwaite)
	lo, hi := mean.Interval(0.95)
	fmt.Printf("%v: between %.2f, within %.2f\n", m.Status, m.SigmaB2, m.Sigma2)
	fmt.Printf("mean %.1f, 95 %% interval %.1f to %.1f on %.1f df\n", mean.Value, lo, hi, mean.DF)
	// Output:
	// interior: between 1764.05, within 2451.25
	// mean 1527.5, 95 % interval 1477.7 to 1577.3 on 5.0 df
}

// Three estimates with their sampling variances.
func ExamplePool() {
	p, err := stats.Pool([]float64{0.8, 1.4, 2.3}, []float64{0.04, 0.09, 0.05}, stats.PoolREML)
	if err != nil {
		fmt.Println(err)
		return
	}
	lo, hi := p.Safe.Interval(0.95)
	fmt.Printf("%.2f (%.2f to %.2f), tau² %.2f\n", p.Safe.Value, lo, hi, p.Tau2)
	lo, hi = p.Prediction(p.Safe, 0.95)
	fmt.Printf("the next one: %.2f to %.2f\n", lo, hi)
	// Output:
	// 1.50 (-0.42 to 3.42), tau² 0.54
	// the next one: -2.19 to 5.19
}
