package quality

import (
	"soletrial/pipeline/sensor"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// trusted returns the included blocks that no stop keeps out: rules about blocks come
// before rules about shoes.
func (c *sessionCheck) trusted() []*steady.Summary {
	all := c.included()
	trusted := all[:0]
	for _, b := range all {
		stopped := false
		for i := range c.found {
			f := &c.found[i]
			stopped = stopped || f.Block == b.Block && f.Severity == trial.Stop && f.Override == ""
		}
		if !stopped {
			trusted = append(trusted, b)
		}
	}
	return trusted
}

// furthestApart returns the shoes with the lowest and the highest mean of a
// positive value and how far apart these are, percent; missing for fewer than two
// shoes.
func furthestApart(blocks []*steady.Summary, value func(*steady.Summary) float64) (low, high *share, pct float64) {
	list := shares(blocks, func(_ int, b *steady.Summary) float64 { return value(b) })
	if len(list) < 2 {
		return nil, nil, units.Missing
	}
	i, j := extremes(len(list), func(i int) float64 { return list[i].mean() })
	low, high = &list[i], &list[j]
	return low, high, float64(100 * (high.mean()/low.mean() - 1))
}

// byShoe reports a ratio that is further apart in two shoes than a limit.
func (c *sessionCheck) byShoe(ratio func(*steady.Summary) float64, limit float64, what string) {
	if low, high, pct := furthestApart(c.trusted(), ratio); pct > limit {
		c.say(-1, trial.Warn, pct, limit, what+" is "+num(low.mean(), 4)+" in "+low.shoe+" and "+num(high.mean(), 4)+
			" in "+high.shoe+" ("+num(pct, 1)+" % apart)")
	}
}

func groundByShoe(c *sessionCheck) {
	c.byShoe(sensor.GroundRatio, c.limits.SensorBetweenPct, "sensor distance divided by ground distance")
}

func stepByShoe(c *sessionCheck) {
	c.byShoe(sensor.StepRatio, c.limits.SensorBetweenPct, "cadence x step length divided by speed")
}
