package compare

import (
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Conclusive reports whether the interval leaves zero out. One without width never does:
// it comes from numbers too coarse to differ.
func (c *Comparison) Conclusive() bool { return (c.Low > 0 || c.High < 0) && c.Low < c.High }

// AtLevel says in words at which effort blocks were run: "at 270 W", "at 4:30
// per km", "at 150 bpm".
func AtLevel(level string) string {
	effort, target, found := strings.Cut(level, " ")
	if !found {
		return "at the same " + strings.ReplaceAll(effort, "_", " ")
	}
	switch trial.Effort(effort) {
	case trial.Pace:
		return "at " + target + " per km"
	case trial.HeartRate:
		return "at " + target + " bpm"
	}
	return "at " + target + " W"
}

// Amount writes a difference with its sign and unit.
func (c *Comparison) Amount(x float64) string { return units.FormatSigned(x, 2) + c.unitText() }

func (c *Comparison) unitText() string {
	if c.Outcome.Info().Ratio {
		return " %"
	}
	return " " + c.Outcome.Info().Unit
}
