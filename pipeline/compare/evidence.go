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

// basis is what the evidence for a comparison is judged from, besides its interval.
type basis struct {
	shoeBlocks, referenceBlocks int
	minSessions                 int  // sessions of the shoe that was run in fewer
	confounded, stepProduct     int  // sessions with a finding of that kind
	unplanned                   int  // sessions without a plan that was followed
	noSpread                    bool // blocks of a shoe did not differ at all
}

// sessionDoubt is what speaks against the comparisons that a session is part of.
type sessionDoubt struct {
	confounded, stepProduct bool // there is a finding of that kind
	unplanned               bool // there is no plan that was followed
}

// sessionDoubts finds the doubts about each session of the index.
func sessionDoubts(ds *trial.Dataset, x *index, findings []trial.Finding) []sessionDoubt {
	doubts := make([]sessionDoubt, len(x.sessions))
	number := x.sessionNumbers()
	for i := range ds.Sessions {
		if k, compared := number[ds.Sessions[i].ID]; compared {
			doubts[k].unplanned = !followed(&ds.Sessions[i])
		}
	}
	for _, f := range findings {
		k, compared := number[f.Session]
		if !compared {
			continue
		}
		switch {
		case f.Rule == quality.OrderConfounded:
			doubts[k].confounded = true
		case f.Rule == quality.StepProduct && f.Severity == trial.Warn:
			doubts[k].stepProduct = true
		}
	}
	return doubts
}

// grade finds the word for the evidence behind c and the reasons: what is
// missing, and so what would raise it. The size of the effect has no say; the
// width of the interval is judged on the scale of the analysis, where it does not
// grow with the effect.
func (a *analysis) grade(c *Comparison) {
	if c.Model == NotComparable {
		c.Reasons = []string{"run both, or each with a common third shoe, in one session"}
		return
	}
	if !units.Known(c.Low) {
		c.Reasons = []string{"no interval: repeat a shoe within a session, or run another session"}
		return
	}
	c.Reasons = a.lacks(c)
	switch {
	case !c.acrossSessions || c.halfWidthReported() > float64(4*a.worthwhile(c)):
		c.Evidence = Thin
	case len(c.Reasons) > 0:
		c.Evidence = Fair
	default:
		c.Evidence = Solid
	}
}

// halfWidthReported is half the width of the interval, in the unit of report.
func (c *Comparison) halfWidthReported() float64 { return percent(c.Outcome, c.halfWidth) }

// worthwhile is the smallest difference that would matter: the method's for
// ratios, and for the two rating scales a tenth of the scale, which is an
// engineering choice.
func (a *analysis) worthwhile(c *Comparison) float64 {
	switch c.Outcome {
	case trial.RPE:
		return 1
	case trial.Comfort:
		return 10
	}
	return a.method.WorthwhilePct
}

// lacks lists, in words, what solid evidence would ask for and c does not have.
func (a *analysis) lacks(c *Comparison) []string {
	// Sessions and blocks.
	var lacks []string
	if n := c.basis.minSessions; c.acrossSessions && n < solidSessions {
		of := ""
		if n < c.Sessions {
			of = " of the shoe that was run in fewer"
		}
		lacks = append(lacks, units.Count(n, "session")+of+"; "+strconv.Itoa(solidSessions)+
			" or more would show whether the difference comes back")
	}
	for _, shoe := range []struct {
		id     string
		blocks int
	}{{c.Shoe, c.basis.shoeBlocks}, {c.Reference, c.basis.referenceBlocks}} {
		if shoe.blocks < solidBlocks {
			lacks = append(lacks, units.Count(shoe.blocks, "block")+" of "+Labels(a.dataset)(shoe.id)+"; "+
				strconv.Itoa(solidBlocks)+" or more would show how its blocks vary")
		}
	}
	// What the interval does not hold.
	if !c.acrossSessions {
		lacks = append(lacks, "the interval does not hold how the difference varies from day to day; running the "+
			"pair in two or more sessions would")
	}
	// Its width.
	if half, matters := c.halfWidthReported(), a.worthwhile(c); half > float64(2*matters) {
		unit := c.unitText()
		lacks = append(lacks, "the interval reaches ±"+units.FormatDecimal(half, 1)+unit+"; ±"+
			units.FormatDecimal(float64(2*matters), 1)+unit+" would do for a difference of "+
			units.FormatDecimal(matters, 2)+unit)
	}
	return append(lacks, c.basis.doubts()...)
}

// doubts turns findings about the sessions behind a comparison into reasons.
func (b *basis) doubts() []string {
	var doubts []string
	if b.noSpread {
		doubts = append(doubts, "blocks of the same shoe did not differ at all, so there is no spread to judge from; "+
			"finer numbers would show one")
	}
	if n := b.confounded; n > 0 {
		doubts = append(doubts, units.Count(n, "session")+
			" with the shoes in step with the clock; the opposite order would balance it")
	}
	if n := b.stepProduct; n > 0 {
		doubts = append(doubts, units.Count(n, "session")+
			" where cadence x step length does not match the speed; measured laps would show which is off")
	}
	if b.unplanned > 0 {
		doubts = append(doubts, unplannedText(b.unplanned))
	}
	return doubts
}
