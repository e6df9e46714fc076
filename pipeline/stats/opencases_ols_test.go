package stats

import "testing"

// All four folders O*: least squares.
func TestOpenCasesLeastSquares(t *testing.T) {
	blocks := 0
	eachOpenCase(t, "O", 4, func(c openCase) {
		for _, block := range []string{"ols", "ols_without_drift"} {
			if c.results.has(block) {
				c.checkLeastSquares(c.results.at(block))
				blocks++
			}
		}
	})
	if blocks != 5 && blocks != 0 {
		t.Errorf("compared %d fits, want 5", blocks)
	}
}
