package compare

import (
	"math"

	"soletrial/pipeline/units"
)

// maxLeaveOneOut is the most blocks for which every block is left out in turn: the
// work grows with the square of their number.
const maxLeaveOneOut = 400

// leaveOneOut refits the model with each block left out in turn and records in the
// comparisons at the given places the lowest and highest estimate and the block
// that moves it most.
func (m *model) leaveOneOut(compared []Comparison, pairs []pair, places []int) {
	n := len(m.group.rows)
	if n > maxLeaveOneOut {
		return
	}
	left := make([]row, n-1)
	copy(left, m.group.rows[1:])
	for i := range n {
		if i > 0 {
			left[i-1] = m.group.rows[i-1]
		}
		for _, part := range m.group.with(left).linkedParts() {
			refit, err := fitModel(part, m.wantedDrift)
			if err != nil {
				continue
			}
			for _, k := range places {
				without := percent(m.group.outcome, refit.estimate(pairs[k]).Value)
				compared[k].leaveOut(m.group.rows[i].Observation, without)
			}
		}
	}
}

// leaveOut takes in the estimate without a block; missing where it needs the block.
func (c *Comparison) leaveOut(o *Observation, estimate float64) {
	if !units.Known(estimate) {
		return
	}
	if !(estimate >= c.WithoutLow) {
		c.WithoutLow = estimate
	}
	if !(estimate <= c.WithoutHigh) {
		c.WithoutHigh = estimate
	}
	moved := math.Abs(estimate - c.Estimate)
	if c.Outlying.Block == "" || moved > math.Abs(c.Outlying.Estimate-c.Estimate) {
		c.Outlying = Outlying{Session: o.Session, Block: o.Block, Estimate: estimate}
	}
}

// Outlying names the block whose absence moves an estimate most, and the
// estimate without it.
type Outlying struct {
	Session, Block string
	Estimate       float64
}
