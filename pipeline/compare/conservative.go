package compare

import (
	"strconv"

	"soletrial/pipeline/units"
)

// Where the spread from day to day rests on one to three degrees of freedom, REML
// often puts it at zero although it is not, and the interval then counts every
// block as new information: it is too narrow. The numbers stay those of the
// model, but a second interval, with only the degrees of freedom between
// sessions, has to leave zero out too before shoes are told apart.

// coverage says how often the plain 95 % interval held the truth in simulated
// trials, by the degrees of freedom between sessions, when a shoe varies from
// day to day as much as blocks do: scripts/simulate.
var coverage = [...]string{1: "88 to 92 %", 2: "93 to 94 %", 3: "94 %"}

// setConservative adds the conservative interval where it is called for, that is where
// the model counts on clearly more than the few degrees of freedom between
// sessions.
func (a *analysis) setConservative(c *Comparison, m *model) {
	between := m.fit.BetweenDF
	if m.kind != Mixed || between >= len(coverage) || !(c.DF > float64(between)+0.5) || !units.Known(c.Low) {
		return
	}
	c.halfWidth = float64(a.quantile(float64(between)) * c.LogSE)
	c.ConservativeLow, c.ConservativeHigh = percent(c.Outcome, c.LogEstimate-c.halfWidth),
		percent(c.Outcome, c.LogEstimate+c.halfWidth)
	c.basis.betweenDF = between
}

// hasConservative reports whether c has a conservative interval.
func (c *Comparison) hasConservative() bool { return c.ConservativeLow < c.ConservativeHigh }

// conservativeNote says in a note what is wrong with the plain interval.
func (c *Comparison) conservativeNote() string {
	return "how a difference varies from day to day is judged from " + degrees(c.basis.betweenDF) +
		" only: when it varies as much as blocks do, about " + coverage[c.basis.betweenDF] +
		" of such intervals held the truth in simulated trials, not 95 %; more sessions would mend that"
}

// degrees writes a number of degrees of freedom.
func degrees(n int) string {
	if n == 1 {
		return "1 degree of freedom"
	}
	return strconv.Itoa(n) + " degrees of freedom"
}
