package quality

import (
	"math"
	"slices"
	"strconv"

	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// notExcluded returns the blocks of a session that nobody excluded by hand.
func (c *sessionCheck) notExcluded() []*steady.Summary {
	var blocks []*steady.Summary
	for i := range c.blocks {
		if !c.session.Blocks[i].Excluded {
			blocks = append(blocks, &c.blocks[i])
		}
	}
	return blocks
}

// included returns the blocks of a session that nobody excluded by hand and that
// have a shoe.
func (c *sessionCheck) included() []*steady.Summary {
	return slices.DeleteFunc(c.notExcluded(), func(b *steady.Summary) bool { return b.Shoe == "" })
}

func blockNone(c *sessionCheck) {
	if len(c.session.Blocks) == 0 && c.session.Plan == nil {
		c.say(-1, trial.Warn, 0, 1, "the session has no blocks")
	}
}

func oneBlockPerShoe(c *sessionCheck) {
	blocks := c.included()
	if shoes := len(perShoe(blocks)); shoes > 1 && len(blocks) == shoes {
		c.say(-1, trial.Note, 1, 2, "each of the "+num(float64(shoes), 0)+" shoes was run only once")
	}
}

func orderConfounded(c *sessionCheck) {
	blocks := c.included()
	shoes := len(perShoe(blocks))
	if shoes < 2 || len(blocks) == shoes {
		return // one block per shoe has its own rule
	}
	if r := shoeTimeCorrelation(blocks); r > c.limits.OrderCorrelation {
		order := ""
		for _, b := range blocks {
			order += " " + b.Shoe
		}
		c.say(-1, trial.Warn, r, c.limits.OrderCorrelation,
			"the shoes are not spread evenly over the session (correlation of shoe and time "+num(r, 2)+"):"+order)
	}
}

// shoeTimeCorrelation returns the square root of the share of the spread of
// block places (1, 2, 3 ...) that lies between shoes: 0 when every shoe sits in
// the middle of the session on average, 1 when no shoe has a spread of its own.
func shoeTimeCorrelation(blocks []*steady.Summary) float64 {
	middle := float64(len(blocks)-1) / 2
	total, between := 0.0, 0.0
	for _, s := range shares(blocks, func(place int, _ *steady.Summary) float64 {
		d := float64(place) - middle
		total += float64(d * d)
		return d
	}) {
		between += float64(s.sum * s.sum / float64(s.n))
	}
	return math.Sqrt(between / total)
}

func blocksUnbalanced(c *sessionCheck) {
	count := perShoe(c.included())
	if len(count) == 0 {
		return
	}
	i, j := extremes(len(count), func(i int) float64 { return float64(count[i].n) })
	fewest, most := &count[i], &count[j]
	if ratio := float64(most.n) / float64(fewest.n); ratio >= c.limits.BalanceRatio && ratio > 1 {
		c.say(-1, trial.Note, ratio, c.limits.BalanceRatio,
			most.shoe+" was run in "+units.Count(most.n, "block")+", "+fewest.shoe+" in "+
				units.Count(fewest.n, "block"))
	}
}

func restUnequal(c *sessionCheck) {
	rest := func(i int) float64 { return c.blocks[i+1].Start - c.blocks[i].End }
	low, high := extremes(len(c.blocks)-1, rest)
	if low < 0 {
		return
	}
	if apart := rest(high) - rest(low); apart > c.limits.RestApartS {
		c.say(-1, trial.Note, apart, c.limits.RestApartS,
			"rests differ by "+num(apart, 0)+" s: "+num(rest(low), 0)+" s before block "+
				strconv.Quote(c.blocks[low+1].Block)+", "+num(rest(high), 0)+" s before block "+
				strconv.Quote(c.blocks[high+1].Block))
	}
}
