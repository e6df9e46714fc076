package compare

import (
	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// adjusts reports with which sign an outcome is adjusted when the given effort
// is held: -1 where more effort means more of the outcome, +1 where it means
// less, 0 where it is left alone.
//
// At held power y = ln(speed) - k ln(power/target), and pace is the same with
// the other sign; at held pace heart rate and power are adjusted by speed in the
// same way. At held heart rate no exponent is agreed on, so nothing is adjusted.
func adjusts(effort trial.Effort, outcome trial.Outcome) float64 {
	switch {
	case effort == trial.Power && outcome == trial.Speed,
		effort == trial.Pace && (outcome == trial.Heart || outcome == trial.MeanPower):
		return -1
	case effort == trial.Power && outcome == trial.PacePerKm:
		return 1
	}
	return 0
}

// effortRatio returns ln(held/target) as effort: positive when the block was
// run harder than its target. Pace is compared as speed. Without a target it is
// ln(held): blocks are compared within a level, where the target cancels.
func effortRatio(o *Observation) float64 {
	if !(o.MeanEffort > 0) {
		return units.Missing
	}
	target := o.Target
	if !(target > 0) {
		target = 1
	}
	if o.Effort == trial.Pace {
		return stats.Log(target / o.MeanEffort)
	}
	return stats.Log(o.MeanEffort / target)
}

// Analysed returns what is compared of a block in an outcome: its value on the
// scale of the analysis, adjusted to equal effort by the method's exponent where
// the outcome and what was held call for it; missing where the block lacks it.
func Analysed(o *Observation, outcome trial.Outcome, exponent float64) float64 {
	y := response(o, outcome)
	if sign := adjusts(o.Effort, outcome); sign != 0 && exponent != 0 {
		return y + float64(sign*exponent*effortRatio(o))
	}
	return y
}

// response returns the block's value on the scale it is analysed on, before any
// adjustment; missing when a ratio outcome is not positive.
func response(o *Observation, outcome trial.Outcome) float64 {
	v := o.Outcomes[outcome]
	if !outcome.Info().Ratio {
		return v
	}
	if !(v > 0) {
		return units.Missing
	}
	return stats.Log(v)
}
