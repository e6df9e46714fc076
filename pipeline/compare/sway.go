package compare

import (
	"math"

	"soletrial/pipeline/units"
)

// swayRows is the most blocks for which every block is left out in turn: the
// work grows with the square of their number.
const swayRows = 400

// sway refits the group with each block left out in turn and records, for every
// pair, the lowest and highest estimate and the block that moves it most.
func (f *fitted) sway(pairs []Comparison, drift string) {
	n := len(f.group.rows)
	if n > swayRows {
		return
	}
	for i := range n {
		left := f.group
		left.rows = append(append(make([]row, 0, n-1), f.group.rows[:i]...), f.group.rows[i+1:]...)
		refit, err := fitGroup(left, drift)
		if err != nil {
			continue
		}
		for k := range pairs {
			pairs[k].without(&f.group.rows[i], refit)
		}
	}
}

// without takes one more refit into account.
func (c *Comparison) without(out *row, refit *fitted) {
	estimate := percent(c.Outcome, refit.estimate(c.Shoe, c.Reference).Value)
	if !units.Known(estimate) {
		return
	}
	if !(estimate >= c.WithoutLow) {
		c.WithoutLow = estimate
	}
	if !(estimate <= c.WithoutHigh) {
		c.WithoutHigh = estimate
	}
	if moved := math.Abs(estimate - c.Estimate); c.Outlying.Block == "" || moved > math.Abs(c.Outlying.Estimate-c.Estimate) {
		c.Outlying = Outlying{Session: out.Session, Block: out.Block, Estimate: estimate}
	}
}

// Outlying names the block whose absence moves an estimate most, and the
// estimate without it.
type Outlying struct {
	Session, Block string
	Estimate       float64
}
