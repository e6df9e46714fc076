package quality

import (
	"fmt"
	"math"
	"slices"

	"soletrial/pipeline/sensor"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func groundDistance(c *sessionCheck) {
	for i := range c.blocks {
		b := &c.blocks[i]
		off := float64(100 * (sensor.GroundRatio(b) - 1))
		c.graded(i, off, c.limits.GroundDistancePct, c.limits.GroundDistanceStopPct,
			fmt.Sprintf("the sensor gives %s m, the ground %s m (%s %%)", units.FormatDecimal(b.SensorDistanceM, 0), units.FormatDecimal(b.GroundDistanceM, 0), signed(off)),
			"check the distance, the lane and the block's start and end; otherwise calibrate the sensor")
	}
}

func effortUnsteady(c *sessionCheck) {
	for i, b := range c.blocks {
		if b.HeldCVPct > c.limits.EffortVariationPct {
			c.report(i, trial.Finding{Severity: trial.Warn, Value: b.HeldCVPct, Limit: c.limits.EffortVariationPct,
				Message: fmt.Sprintf("the held effort varies by %s %% within the steady window", units.FormatDecimal(b.HeldCVPct, 1)),
				Hint:    "look at the trace for surges, stops and dropouts"})
		}
	}
}

func effortDrifting(c *sessionCheck) {
	for i, b := range c.blocks {
		if math.Abs(b.HeldChangePct) > c.limits.EffortChangePct {
			c.report(i, trial.Finding{Severity: trial.Warn, Value: b.HeldChangePct, Limit: c.limits.EffortChangePct,
				Message: fmt.Sprintf("the held effort changes by %s %% over the steady window", signed(b.HeldChangePct)),
				Hint:    "the mean hides it; hold the effort evenly, or trim the part that was not held"})
		}
	}
}

func heartUnsettled(c *sessionCheck) {
	for i, b := range c.blocks {
		if math.Abs(b.HeartSlope) > c.limits.HeartSlopeBpmMin {
			c.report(i, trial.Finding{Severity: trial.Warn, Value: b.HeartSlope, Limit: c.limits.HeartSlopeBpmMin,
				Message: fmt.Sprintf("heart rate still changes by %s bpm per minute at the end of the block", signed(b.HeartSlope)),
				Hint:    "its mean depends on how the block began; run longer blocks with equal rests"})
		}
	}
}

// spread is how far apart two shoes of a session are in something, percent.
type spread struct {
	low, high         string // shoes
	lowMean, highMean float64
}

func (s spread) pct() float64 { return float64(100 * (s.highMean/s.lowMean - 1)) }

// byShoe averages a positive value by shoe over blocks that have it and returns
// the shoes furthest apart; there is no spread among fewer than two.
func byShoe(blocks []steady.Summary, value func(*steady.Summary) float64) (s spread, ok bool) {
	sum, count := map[string]float64{}, map[string]float64{}
	for i := range blocks {
		if v := value(&blocks[i]); v > 0 {
			sum[blocks[i].Shoe] += v
			count[blocks[i].Shoe]++
		}
	}
	for _, shoe := range sortedKeys(sum) {
		mean := sum[shoe] / count[shoe]
		if s.low == "" || mean < s.lowMean {
			s.low, s.lowMean = shoe, mean
		}
		if s.high == "" || mean > s.highMean {
			s.high, s.highMean = shoe, mean
		}
	}
	return s, len(sum) > 1
}

// trusted returns the kept blocks that no stop holds: rules about blocks come
// before rules about shoes.
func (c *sessionCheck) trusted() []steady.Summary {
	return slices.DeleteFunc(c.kept(), func(b steady.Summary) bool {
		return slices.ContainsFunc(c.found, func(f trial.Finding) bool { return f.Block == b.Block && f.Holds() })
	})
}

func effortUneven(c *sessionCheck) {
	held := map[string][]steady.Summary{}
	for _, b := range c.trusted() {
		level := trial.Level(c.session.Effort(), b.Target)
		held[level] = append(held[level], b)
	}
	for _, level := range sortedKeys(held) {
		s, ok := byShoe(held[level], func(b *steady.Summary) float64 { return b.Held })
		if pct := s.pct(); ok && pct > c.limits.EffortBetweenPct {
			c.report(-1, trial.Finding{Severity: trial.Warn, Value: pct, Limit: c.limits.EffortBetweenPct,
				Message: fmt.Sprintf("at %s the mean held effort is %s in %s and %s in %s (%s %% apart)", level, heldText(c.session.Effort(), s.lowMean), s.low, heldText(c.session.Effort(), s.highMean), s.high, units.FormatDecimal(pct, 1)),
				Hint:    "the comparison adjusts for it; the closer the efforts, the less rests on the adjustment"})
		}
	}
}

func groundByShoe(c *sessionCheck) {
	c.sensorByShoe(sensor.GroundRatio, "sensor distance over ground distance")
}

func stepByShoe(c *sessionCheck) {
	c.sensorByShoe(sensor.StepRatio, "cadence x step length over speed")
}

func (c *sessionCheck) sensorByShoe(ratio func(*steady.Summary) float64, what string) {
	s, ok := byShoe(c.trusted(), ratio)
	if pct := s.pct(); ok && pct > c.limits.SensorBetweenPct {
		c.report(-1, trial.Finding{Severity: trial.Warn, Value: pct, Limit: c.limits.SensorBetweenPct,
			Message: fmt.Sprintf("%s is %s in %s and %s in %s (%s %% apart)", what, units.FormatDecimal(s.lowMean, 4), s.low, units.FormatDecimal(s.highMean, 4), s.high, units.FormatDecimal(pct, 1)),
			Hint:    "up to that much of a difference between these shoes could be the sensor"})
	}
}
