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

// judgement is what the numbers of c come to, for a place where the headline has
// already said whether its two shoes are told apart. Like [Comparison.Sentence]
// it always gives the interval or says why there is none.
func (c *Comparison) judgement(label func(string) string, confidence float64) string {
	if !units.Known(c.Low) || c.Low == c.High {
		return c.Sentence(label, confidence)
	}
	text := fmt.Sprintf("%s against %s %s: %s in %s", label(c.Shoe), label(c.Reference), AtLevel(c.Level),
		c.Interval(confidence), c.Outcome.Info().Label)
	if c.excludesZero() && c.hasConservative() {
		text += fmt.Sprintf(", %s to %s%s by what differed between sessions alone",
			units.FormatSigned(c.ConservativeLow, 2), units.FormatSigned(c.ConservativeHigh, 2), c.unitText())
	}
	if c.excludesZero() && c.PAdjusted > 1-confidence {
		text += fmt.Sprintf("; not enough once all pairs are judged together (Holm-adjusted p = %s)",
			units.FormatSignificant(c.PAdjusted, 2))
	}
	return fmt.Sprintf("%s (%s).", text, c.basisText())
}

// Sentence says what a person would say of the comparison. It names a direction
// only when the interval leaves zero out, and always gives the interval or says
// why there is none. Label turns a shoe id into its name.
func (c *Comparison) Sentence(label func(string) string, confidence float64) string {
	shoe, reference := label(c.Shoe), label(c.Reference)
	basis := c.basisText()
	// From no estimate over no interval to a direction.
	switch {
	case c.Model == NotComparable:
		return fmt.Sprintf("%s and %s cannot be compared %s: no session links them.", shoe, reference, AtLevel(c.Level))
	case !units.Known(c.Low):
		return fmt.Sprintf("%s against %s %s: %s in %s; no interval can be given (%s).", shoe, reference,
			AtLevel(c.Level), c.Amount(c.Estimate), c.Outcome.Info().Label, basis)
	case c.Low == c.High:
		return fmt.Sprintf("%s against %s %s: %s in %s; blocks of the same shoe did not differ at all, so there is "+
			"no spread to judge it by (%s).", shoe, reference, AtLevel(c.Level), c.Amount(c.Estimate),
			c.Outcome.Info().Label, basis)
	case c.excludesZero() && !c.Conclusive():
		return fmt.Sprintf("%s and %s cannot be told apart in %s %s by so few sessions: "+
			"%s by itself, but %s to %s%s by what differed between sessions alone (%s).",
			shoe, reference, c.Outcome.Info().Label, AtLevel(c.Level), c.Interval(confidence),
			units.FormatSigned(c.ConservativeLow, 2),
			units.FormatSigned(c.ConservativeHigh, 2),
			c.unitText(), basis)
	case c.Conclusive() && c.PAdjusted > 1-confidence:
		return fmt.Sprintf("%s and %s cannot be told apart in %s %s once all pairs are judged together: %s by "+
			"itself, Holm-adjusted p = %s (%s).",
			shoe, reference, c.Outcome.Info().Label, AtLevel(c.Level), c.Interval(confidence),
			units.FormatSignificant(c.PAdjusted, 2), basis)
	case c.Conclusive():
		return fmt.Sprintf("%s %s: %s %s (%s).", shoe, c.direction(reference), c.Interval(confidence), AtLevel(c.Level),
			basis)
	}
	return fmt.Sprintf("%s and %s cannot be told apart in %s %s: %s (%s).", shoe, reference, c.Outcome.Info().Label,
		AtLevel(c.Level), c.Interval(confidence), basis)
}

// basisText says in brackets what a sentence rests on, and what its interval lacks.
func (c *Comparison) basisText() string {
	basis := units.Count(c.Sessions, "session") + ", " + units.Count(c.Blocks, "block")
	if units.Known(c.Low) && (c.Model == OneSession || c.Model == LeastSquares && !c.acrossSessions) {
		basis += "; how it varies from day to day is not in the interval"
	}
	return basis
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

// direction is the verb phrase that goes with an estimate that is told from
// zero.
func (c *Comparison) direction(reference string) string {
	more := c.Estimate > 0
	switch {
	case c.Outcome == trial.Speed && more:
		return "is faster than " + reference
	case c.Outcome == trial.Speed:
		return "is slower than " + reference
	case more:
		return fmt.Sprintf("has a higher %s than %s", c.Outcome.Info().Label, reference)
	}
	return fmt.Sprintf("has a lower %s than %s", c.Outcome.Info().Label, reference)
}
