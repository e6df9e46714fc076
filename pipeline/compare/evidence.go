package compare

import (
	"strconv"

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
		if f.Rule == "order-confounded" {
			run.confounded[session] = true
		}
		if f.Rule == "step-product" && f.Severity == trial.Warn {
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
	case !c.holdsDays || c.ratioHalf() > float64(4*run.method.WorthwhilePct):
		c.Evidence = Thin
	case len(c.Reasons) > 0:
		c.Evidence = Fair
	default:
		c.Evidence = Solid
	}
}

// ratioHalf is half the width of the interval in percent; missing for outcomes
// that are not ratios, for which no smallest worthwhile difference is set.
func (c *Comparison) ratioHalf() float64 {
	if !c.Outcome.Info().Ratio {
		return units.Missing
	}
	return percent(c.Outcome, c.half)
}

// lacks lists, in words, what solid evidence would ask for and c does not have.
func (run *runner) lacks(c *Comparison) []string {
	var lacks []string
	if n := c.behind.fewest; c.holdsDays && n < solidSessions {
		of := ""
		if n < c.Sessions {
			of = " of the shoe that was run in fewer"
		}
		lacks = append(lacks, Count(n, "session")+of+"; "+strconv.Itoa(solidSessions)+" or more would show whether the difference comes back")
	}
	for _, shoe := range []struct {
		id     string
		blocks int
	}{{c.Shoe, c.behind.shoe}, {c.Reference, c.behind.reference}} {
		if shoe.blocks < solidBlocks {
			lacks = append(lacks, Count(shoe.blocks, "block")+" of "+strconv.Quote(shoe.id)+"; "+strconv.Itoa(solidBlocks)+" or more would hold its spread")
		}
	}
	if !c.holdsDays {
		lacks = append(lacks, "the interval does not hold how the difference varies from day to day; running the pair in two or more sessions would")
	}
	if half, wanted := c.ratioHalf(), float64(2*run.method.WorthwhilePct); half > wanted {
		lacks = append(lacks, "the interval is +-"+units.FormatDecimal(half, 1)+" % wide; +-"+units.FormatDecimal(wanted, 1)+" % would do for a difference of "+units.FormatDecimal(run.method.WorthwhilePct, 2)+" %")
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
		doubts = append(doubts, Count(n, "session")+" with the shoes in step with the clock; the opposite order would balance it")
	}
	if n := b.product; n > 0 {
		doubts = append(doubts, Count(n, "session")+" where cadence x step length does not match the speed; measured laps would show which is off")
	}
	return doubts
}

// Count writes a number with its noun, in the plural where needed.
func Count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return strconv.Itoa(n) + " " + noun + "s"
}
