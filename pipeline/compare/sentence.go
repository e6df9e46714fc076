package compare

import (
	"fmt"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Conclusive reports whether the interval leaves zero out, the conservative one too where
// there is one, so that a direction may be named. One without width never does:
// it comes from numbers too coarse to differ.
func (c *Comparison) Conclusive() bool {
	return c.excludesZero() && c.Low < c.High &&
		!(c.hasConservative() && c.ConservativeLow <= 0 && c.ConservativeHigh >= 0)
}

// excludesZero reports whether the plain interval leaves zero out.
func (c *Comparison) excludesZero() bool { return c.Low > 0 || c.High < 0 }

// AtLevel says in words at which effort blocks were run: "at 270 W", "at 4:30
// per km", "at 150 bpm".
func AtLevel(level string) string {
	effort, target, found := strings.Cut(level, " ")
	if !found {
		return "at held " + strings.ReplaceAll(effort, "_", " ")
	}
	switch trial.Effort(effort) {
	case trial.Pace:
		return "at " + target + " per km"
	case trial.HeartRate:
		return "at " + target + " bpm"
	}
	return "at " + target + " W"
}

// Interval writes the estimate with its interval, such as
// "+1.8 % (95 % interval +0.9 to +2.7 %)".
func (c *Comparison) Interval(confidence float64) string {
	unit := c.unitText()
	return fmt.Sprintf("%s (%s %% interval %s to %s%s)", c.Amount(c.Estimate),
		units.FormatDecimal(float64(100*confidence), 0), units.FormatSigned(c.Low, 2), units.FormatSigned(c.High, 2),
		unit)
}

// Amount writes a difference with its sign and unit.
func (c *Comparison) Amount(x float64) string { return units.FormatSigned(x, 2) + c.unitText() }

func (c *Comparison) unitText() string {
	if c.Outcome.Info().Ratio {
		return " %"
	}
	return " " + c.Outcome.Info().Unit
}

// Labels returns a function from shoe id to the shoe's label, or the id where
// the register has none.
func Labels(ds *trial.Dataset) func(string) string {
	return func(id string) string {
		if s := ds.Shoe(id); s != nil && s.Label != "" {
			return s.Label
		}
		return id
	}
}
