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

// fewHeld says how often the plain 95 % interval held the truth in simulated
// trials, by the degrees of freedom between sessions, when a shoe varies from
// day to day as much as blocks do: scripts/simulate.
var fewHeld = [...]string{1: "88 to 92 %", 2: "93 to 94 %", 3: "94 %"}

// beCautious adds the cautious interval where it is called for, that is where
// the model counts on clearly more than the few degrees of freedom between
// sessions.
func (run *runner) beCautious(c *Comparison, f *Fit) {
	between := f.BetweenDF
	if f.Model != Mixed || between >= len(fewHeld) || !(c.DF > float64(between)+0.5) || !units.Known(c.Low) {
		return
	}
	c.half = float64(run.quantile(float64(between)) * c.LogSE)
	c.CautiousLow, c.CautiousHigh = percent(c.Outcome, c.LogEstimate-c.half), percent(c.Outcome, c.LogEstimate+c.half)
	c.behind.between = between
}

// cautioned reports whether c has a cautious interval.
func (c *Comparison) cautioned() bool { return c.CautiousLow < c.CautiousHigh }

// caution says in a note what is wrong with the plain interval.
func (c *Comparison) caution() string {
	return "how a difference varies from day to day is judged from " + degrees(c.behind.between) +
		" only: when it varies as much as blocks do, about " + fewHeld[c.behind.between] +
		" of such intervals held the truth in simulated trials, not 95 %; more sessions would mend that"
}

// degrees writes a number of degrees of freedom.
func degrees(n int) string {
	if n == 1 {
		return "1 degree of freedom"
	}
	return strconv.Itoa(n) + " degrees of freedom"
}
