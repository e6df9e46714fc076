package stats_test

import (
	"fmt"

	"soletrial/pipeline/stats"
)

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
