package compare

import (
	"math"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// swayRows is the most blocks for which every block is left out in turn: the
// work grows with the square of their number.
const swayRows = 400

// sway refits the group with each block left out in turn and records, for every
// pair asked for, the lowest and highest estimate and the block that moves it most.
func (f *fitted) sway(fit *Fit, asked []pair, drift string) {
	n := len(f.group.rows)
	if n > swayRows {
		return
	}
	left := make([]row, n-1)
	copy(left, f.group.rows[1:])
	for i := range n {
		if i > 0 {
			left[i-1] = f.group.rows[i-1]
		}
		for _, part := range f.group.with(left).parts() {
			refit, err := fitGroup(part, drift)
			if err != nil {
				continue
			}
			for k, p := range asked {
				pair := &fit.Pairs[k]
				pair.Without.take(f.group.outcome, pair.Value, i, refit.estimate(p).Value)
			}
		}
	}
}

// Without is the range of an estimate with each block left out in turn, in the unit
// of report, and the row of the block that moves it most with the estimate then.
type Without struct {
	Low, High float64 // missing where nothing was left out
	Any       bool
	Row       int
	Estimate  float64
}

// take takes one more value into account, made with a row left out, on the analysis
// scale like the value with all rows.
func (w *Without) take(outcome trial.Outcome, with float64, row int, without float64) {
	estimate := percent(outcome, without)
	if !units.Known(estimate) {
		return
	}
	if !(estimate >= w.Low) {
		w.Low = estimate
	}
	if !(estimate <= w.High) {
		w.High = estimate
	}
	whole := percent(outcome, with)
	if moved := math.Abs(estimate - whole); !w.Any || moved > math.Abs(w.Estimate-whole) {
		w.Any, w.Row, w.Estimate = true, row, estimate
	}
}

// Outlying names the block whose absence moves an estimate most, and the
// estimate without it.
type Outlying struct {
	Session, Block string
	Estimate       float64
}
