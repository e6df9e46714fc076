package compare

import (
	"math"

	"soletrial/pipeline/units"
)

// swayRows is the most blocks for which every block is left out in turn: the
// work grows with the square of their number.
const swayRows = 400

// sway refits the group with each block left out in turn and records, for the
// wanted pairs at the given places, the lowest and highest estimate and the
// block that moves it most.
func (f *fitted) sway(wanted []pair, own [][]runnersOwn, at []int, drift string) {
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
			for _, k := range at {
				c := &own[k][len(own[k])-1].Comparison
				c.without(&f.group.rows[i], refit.estimate(wanted[k]).Value)
			}
		}
	}
}

// without takes one more estimate into account, made with a block left out.
func (c *Comparison) without(out *row, value float64) {
	estimate := percent(c.Outcome, value)
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
