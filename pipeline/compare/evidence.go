package compare

import (
	"fmt"

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

// grade finds the word for the evidence behind c and the reasons: what is
// missing, and so what would raise it. The size of the effect has no say.
func (run *runner) grade(c *Comparison, part group) {
	if c.Model == NotComparable {
		c.Reasons = []string{"run both, or each with a common third shoe, in one session"}
		return
	}
	if !units.Known(c.Low) {
		c.Reasons = []string{"no interval: repeat a shoe within a session, or run another session"}
		return
	}
	c.Reasons = run.lacks(c, part)
	half := (c.High - c.Low) / 2
	switch {
	case !c.holdsDays || half > 4*run.method.WorthwhilePct:
		c.Evidence = Thin
	case len(c.Reasons) > 0:
		c.Evidence = Fair
	default:
		c.Evidence = Solid
	}
}

// lacks lists, in words, what solid evidence would ask for and c does not have.
func (run *runner) lacks(c *Comparison, part group) []string {
	var lacks []string
	if c.holdsDays && c.Sessions < solidSessions {
		lacks = append(lacks, fmt.Sprintf("%s; %d or more would show whether the difference comes back", Count(c.Sessions, "session"), solidSessions))
	}
	for _, shoe := range []string{c.Shoe, c.Reference} {
		n := len(part.only(func(r row) bool { return r.Shoe == shoe }).rows)
		if n < solidBlocks {
			lacks = append(lacks, fmt.Sprintf("%s of %q; %d or more would hold its spread", Count(n, "block"), shoe, solidBlocks))
		}
	}
	if !c.holdsDays {
		lacks = append(lacks, "the interval does not hold how the difference varies from day to day; running the pair in two or more sessions would")
	}
	if half, wanted := (c.High-c.Low)/2, float64(2*run.method.WorthwhilePct); c.Outcome.Info().Ratio && half > wanted {
		lacks = append(lacks, fmt.Sprintf("the interval is +-%s %% wide; +-%s %% would do for a difference of %s %%", units.FormatDecimal(half, 1), units.FormatDecimal(wanted, 1), units.FormatDecimal(run.method.WorthwhilePct, 2)))
	}
	return append(lacks, run.doubts(c, part)...)
}

// doubts turns findings about the sessions behind c into reasons.
func (run *runner) doubts(c *Comparison, part group) []string {
	in := map[string]bool{}
	for _, r := range part.rows {
		if r.Shoe == c.Shoe || r.Shoe == c.Reference {
			in[r.Session] = true
		}
	}
	confounded, product := map[string]bool{}, map[string]bool{}
	for _, f := range run.findings {
		if in[f.Session] && f.Rule == "order-confounded" {
			confounded[f.Session] = true
		}
		if in[f.Session] && f.Rule == "step-product" && f.Severity == trial.Warn {
			product[f.Session] = true
		}
	}
	var doubts []string
	if n := len(confounded); n > 0 {
		doubts = append(doubts, fmt.Sprintf("%s with the shoes in step with the clock; the opposite order would balance it", Count(n, "session")))
	}
	if n := len(product); n > 0 {
		doubts = append(doubts, fmt.Sprintf("%s where cadence x step length does not match the speed; measured laps would show which is off", Count(n, "session")))
	}
	return doubts
}

// Count writes a number with its noun, in the plural where needed.
func Count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
