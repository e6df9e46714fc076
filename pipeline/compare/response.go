package compare

import (
	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// effortFactor returns by what ln(held/target) is multiplied and added to the logarithm of
// an outcome to bring it to equal effort: minus the method's exponent for the pair, plus it
// for pace, which falls where speed rises; 0 where an outcome is left alone.
func effortFactor(method trial.Method, effort trial.Effort, outcome trial.Outcome) float64 {
	switch {
	case outcome == trial.PacePerKm:
		return -effortFactor(method, effort, trial.Speed)
	case effort == trial.Pace && outcome == trial.MeanPower:
		// Speed follows power by the exponent of power held, so power follows speed by its inverse.
		e, _ := method.EqualEffort(trial.Power, trial.Speed)
		if e.Mean == 0 {
			return 0
		}
		return -1 / e.Mean
	}
	e, _ := method.EqualEffort(effort, outcome)
	return -e.Mean
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
