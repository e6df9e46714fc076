package quality

import (
	"math"

	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func num(x float64, decimals int) string { return units.FormatDecimal(x, decimals) }

// effortText is a number of what was held, without its unit.
func effortText(effort trial.Effort, held float64) string {
	if effort == trial.Pace {
		return units.FormatPace(held)
	}
	return num(held, 1)
}

// effortUnit is what stands behind a number of what was held.
func effortUnit(effort trial.Effort) string {
	switch effort {
	case trial.Pace:
		return " per km"
	case trial.HeartRate:
		return " bpm"
	}
	return " W"
}

// share is what the blocks of one shoe add up to.
type share struct {
	shoe string
	n    int
	sum  float64
}

func (s *share) mean() float64 { return s.sum / float64(s.n) }

// shares adds a value up by shoe, in the order of the shoes' ids and of the blocks
// within a shoe; blocks without the value do not count. The value gets the place
// of the block, from 0.
func shares(blocks []*steady.Summary, value func(int, *steady.Summary) float64) []share {
	var list []share
	for place, b := range blocks {
		v := value(place, b)
		if !units.Known(v) {
			continue
		}
		i := 0
		for i < len(list) && list[i].shoe != b.Shoe {
			i++
		}
		if i == len(list) {
			list = append(list, share{})
			for ; i > 0 && list[i-1].shoe > b.Shoe; i-- {
				list[i] = list[i-1]
			}
			list[i] = share{shoe: b.Shoe}
		}
		list[i].n++
		list[i].sum += v
	}
	return list
}

// perShoe counts blocks by shoe.
func perShoe(blocks []*steady.Summary) []share {
	return shares(blocks, func(int, *steady.Summary) float64 { return 1 })
}

// blocksOf returns how many blocks a shoe has.
func blocksOf(list []share, shoe string) int {
	for i := range list {
		if list[i].shoe == shoe {
			return list[i].n
		}
	}
	return 0
}

// extremes returns the places of the lowest and the highest known of n values, the
// first of equals; -1 when none is known.
func extremes(n int, value func(int) float64) (low, high int) {
	low, high = -1, -1
	for i := range n {
		v := value(i)
		if !units.Known(v) {
			continue
		}
		if low < 0 || v < value(low) {
			low = i
		}
		if high < 0 || v > value(high) {
			high = i
		}
	}
	return low, high
}

// each reports the blocks of which a value is outside a range, which is open at
// one end or the same on both sides of 0.
func (c *sessionCheck) each(severity trial.Severity, value func(*steady.Summary) float64, low, high float64,
	text func(float64) string) {
	for i := range c.blocks {
		v, limit := value(&c.blocks[i]), high
		if high == inf {
			limit = low
		}
		if v < low || v > high {
			c.say(i, severity, v, limit, text(v))
		}
	}
}

// off reports the blocks of which a ratio is off 1 by more than one of two limits,
// percent.
func (c *sessionCheck) off(ratio func(*steady.Summary) float64, warnAt, stopAt float64,
	text func(*steady.Summary) string) {
	for i := range c.blocks {
		b := &c.blocks[i]
		off := float64(100 * (ratio(b) - 1))
		severity, limit := trial.Warn, warnAt
		if math.Abs(off) > stopAt {
			severity, limit = trial.Stop, stopAt
		}
		if math.Abs(off) > limit {
			c.say(i, severity, off, limit, text(b)+" ("+units.FormatSigned(off, 1)+" %)")
		}
	}
}
