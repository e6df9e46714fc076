package compare

import (
	"strconv"

	"soletrial/pipeline/quality"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// What solid evidence asks for. They are engineering choices: three sessions are
// the least that show whether a difference comes back, four blocks of a shoe the
// least that hold a spread.
const (
	solidSessions = 3
	solidBlocks   = 4
)

// behind is what the evidence for a comparison is judged from, besides its
// interval.
type behind struct {
	shoe, reference     int  // blocks of each
	fewest              int  // sessions of the one that was run in fewer
	confounded, product int  // sessions with a finding of that kind
	unplanned           int  // sessions without a plan that was followed
	between             int  // degrees of freedom between sessions, where they call for caution
	alike               bool // blocks of a shoe did not differ at all
}

// doubt marks the sessions whose findings bear on the evidence.
func (run *runner) doubt(findings []trial.Finding) {
	n := len(run.index.sessions)
	run.confounded, run.product = make([]bool, n), make([]bool, n)
	of := make(map[string]int, n)
	for i, id := range run.index.sessions {
		of[id] = i
	}
	for _, f := range findings {
		session, here := of[f.Session]
		if !here {
			continue
		}
		if f.Rule == quality.OrderConfounded {
			run.confounded[session] = true
		}
		if f.Rule == quality.StepProduct && f.Severity == trial.Warn {
			run.product[session] = true
		}
	}
}

// grade finds the word for the evidence behind c and the reasons: what is
// missing, and so what would raise it. The size of the effect has no say; the
// width of the interval is judged on the scale of the analysis, where it does not
// grow with the effect.
func (run *runner) grade(c *Comparison) {
	if c.Model == NotComparable {
		c.Reasons = []string{"run both, or each with a common third shoe, in one session"}
		return
	}
	if !units.Known(c.Low) {
		c.Reasons = []string{"no interval: repeat a shoe within a session, or run another session"}
		return
	}
	c.Reasons = run.lacks(c)
	switch {
	case !c.holdsDays || run.halfWidth(c) > float64(4*run.worthwhile(c)):
		c.Evidence = Thin
	case len(c.Reasons) > 0:
		c.Evidence = Fair
	default:
		c.Evidence = Solid
	}
}

// halfWidth is half the width of the interval, in the unit of report.
func (run *runner) halfWidth(c *Comparison) float64 { return percent(c.Outcome, c.half) }

// worthwhile is the smallest difference that would matter: the method's for
// ratios, and for the two rating scales a tenth of the scale, which is an
// engineering choice.
func (run *runner) worthwhile(c *Comparison) float64 {
	switch c.Outcome {
	case trial.RPE:
		return 1
	case trial.Comfort:
		return 10
	}
	return run.method.WorthwhilePct
}

// lacks lists, in words, what solid evidence would ask for and c does not have.
func (run *runner) lacks(c *Comparison) []string {
	var lacks []string
	if n := c.behind.fewest; c.holdsDays && n < solidSessions {
		of := ""
		if n < c.Sessions {
			of = " of the shoe that was run in fewer"
		}
		lacks = append(lacks, units.Count(n, "session")+of+"; "+strconv.Itoa(solidSessions)+" or more would show whether the difference comes back")
	}
	for _, shoe := range []struct {
		id     string
		blocks int
	}{{c.Shoe, c.behind.shoe}, {c.Reference, c.behind.reference}} {
		if shoe.blocks < solidBlocks {
			lacks = append(lacks, units.Count(shoe.blocks, "block")+" of "+Labels(run.dataset)(shoe.id)+"; "+strconv.Itoa(solidBlocks)+" or more would show how its blocks vary")
		}
	}
	if !c.holdsDays {
		lacks = append(lacks, "the interval does not hold how the difference varies from day to day; running the pair in two or more sessions would")
	}
	if c.cautioned() {
		lacks = append(lacks, "how the difference varies from day to day rests on "+degrees(c.behind.between)+"; by that alone the interval would be "+units.FormatSigned(c.CautiousLow, 2)+" to "+units.FormatSigned(c.CautiousHigh, 2)+c.unitText()+"; more sessions would mend that")
	}
	if half, matters := run.halfWidth(c), run.worthwhile(c); half > float64(2*matters) {
		unit := c.unitText()
		lacks = append(lacks, "the interval reaches ±"+units.FormatDecimal(half, 1)+unit+"; ±"+units.FormatDecimal(float64(2*matters), 1)+unit+" would do for a difference of "+units.FormatDecimal(matters, 2)+unit)
	}
	return append(lacks, c.behind.doubts()...)
}

// doubts turns findings about the sessions behind a comparison into reasons.
func (b *behind) doubts() []string {
	var doubts []string
	if b.alike {
		doubts = append(doubts, "blocks of the same shoe did not differ at all, so there is no spread to judge from; finer numbers would show one")
	}
	if n := b.confounded; n > 0 {
		doubts = append(doubts, units.Count(n, "session")+" with the shoes in step with the clock; the opposite order would balance it")
	}
	if n := b.product; n > 0 {
		doubts = append(doubts, units.Count(n, "session")+" where cadence x step length does not match the speed; measured laps would show which is off")
	}
	if b.unplanned > 0 {
		doubts = append(doubts, unplannedText(b.unplanned))
	}
	return doubts
}
