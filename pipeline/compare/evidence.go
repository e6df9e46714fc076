package compare

import (
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
			doubts[k].unplanned = !followedPlan(&ds.Sessions[i])
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

// grade finds the word for the evidence behind c. The size of the effect has no
// say; the width of the interval is judged on the scale of the analysis, where it
// does not grow with the effect.
func (a *analysis) grade(c *Comparison) {
	switch {
	case c.Model == NotComparable || !units.Known(c.Low):
		// None: there is no interval.
	case !c.acrossSessions || c.halfWidthReported() > float64(4*a.worthwhile(c)):
		c.Evidence = Thin
	case !c.basis.solid() || c.halfWidthReported() > float64(2*a.worthwhile(c)):
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

// solid reports whether there are sessions and blocks enough for solid evidence, and
// no finding that speaks against it.
func (b *basis) solid() bool {
	return b.minSessions >= solidSessions && min(b.shoeBlocks, b.referenceBlocks) >= solidBlocks &&
		!b.noSpread && b.confounded == 0 && b.stepProduct == 0 && b.unplanned == 0
}
