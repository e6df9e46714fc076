package app

import (
	"cmp"
	"fmt"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/trial"
)

// Trying says how far the analyses of the robustness have come.
type Trying struct {
	Running  bool
	Made, Of int
}

// Analyses returns the answer of the headline under the reader's choice with its analyses of
// the robustness; nil where they were not made.
func (m *Model) Analyses() (e *answer.Effort, g *answer.Group) {
	if m.yours.Answers == nil {
		return nil, nil
	}
	if e, g = m.yours.Answers.Top(); g == nil || len(g.Analyses) == 0 {
		return nil, nil
	}
	return e, g
}

// CanTry reports whether the analyses can be made now, and were not made yet.
func (m *Model) CanTry() bool {
	_, made := m.Analyses()
	return m.Bundle.Complete() && !m.Trying.Running && made == nil
}

// TryAll makes all analyses of the robustness of the reader's choice. Step is called after each,
// so that the page stays usable meanwhile. When the choice has changed meanwhile the analyses
// are dropped and m.Notice says so.
func (m *Model) TryAll(step func()) {
	key := m.analysed
	r := m.exactResult()
	m.Trying = Trying{Running: true}
	r.Robustness(func(made, of int) {
		m.Trying.Made, m.Trying.Of = made, of
		step()
	})
	m.Trying = Trying{}
	if !m.analysed.equal(key) {
		m.Notice = "You changed something while the other analyses were made. Press the button again to try them on it."
		return
	}
	m.yours, m.exact = r, true
}

// Worst is the analysis that speaks most against the leading shoe: the one that puts another
// shoe furthest ahead, else the one in which it leads by least; nil where none were made.
func Worst(g *answer.Group) *decide.Analysis {
	if g == nil {
		return nil
	}
	var worst *decide.Analysis
	for i := range g.Analyses {
		if a := &g.Analyses[i]; worst == nil || Margin(g, a) < Margin(g, worst) {
			worst = a
		}
	}
	return worst
}

// Margin is by how much the group's leader is ahead in an analysis, a logarithm; negative where
// another shoe leads.
func Margin(g *answer.Group, a *decide.Analysis) float64 {
	if a.Leader != g.Places[0].Shoe {
		return -a.Lead.Mean
	}
	return a.Lead.Mean
}

// chooseWorst chooses the analysis that speaks most against the answer, as far as the controls
// go; what no control does is said.
func (m *Model) chooseWorst() {
	e, g := m.Analyses()
	worst := Worst(g)
	if worst == nil {
		return
	}
	m.choice, m.Notice = m.withVariant(e, worst.Variant)
}

// withVariant returns the choice with what an analysis does otherwise; notice says what no
// control does.
func (m *Model) withVariant(e *answer.Effort, v decide.Variant) (c Choice, notice string) {
	c = m.choice
	trim, published := answer.TrimOf(v.Window, m.Trim()), m.Dataset.Facts.Method.Trim
	for p := range TrimCount {
		c.Trim[p] = *p.Of(&trim)
		if c.Trim[p] == *p.Of(&published) {
			c.Trim[p] = AsPublished().Trim[p]
		}
	}
	c.Laps = m.lapsChoice(trim.Laps == trial.WholeLaps)
	// Drift and exponent, where a control has them.
	settings := v.Settings(e.Settings)
	if settings.Drift != e.Settings.Drift {
		switch settings.Drift {
		case decide.NoDrift:
			c.Drift = trial.DriftNone
		case decide.StraightDrift:
			c.Drift = trial.DriftLinear
		default:
			notice = "No control can choose a curved drift. The rest of that analysis is chosen."
		}
	}
	if exponent := settings.Prior.Exponent; exponent != e.Settings.Prior.Exponent && exponent.SD == 0 {
		c.Exponent = exponent.Mean
	}
	// What is left out.
	out := 0
	for i := range m.yours.Sessions {
		s := &m.yours.Sessions[i]
		for j := range s.Blocks {
			b := &s.Blocks[j]
			if b.Included && v.LeavesOut(decide.BlockName{Session: s.ID, Block: b.Block}) {
				in, _ := m.publishedInclusion(s.ID, b.Block)
				c, out = c.withBlock(BlockChoice{Session: s.ID, Block: b.Block}, in), out+1
			}
		}
	}
	if c.sameAnalysis(m.choice) && notice == "" {
		notice = fmt.Sprintf("No control can choose this part of that analysis: %s.",
			cmp.Or(answer.VariantWords(v, e.Settings.Drift, m.Dataset), "the same choices"))
	}
	return c, notice
}

// VariantFragment is the fragment of an address that chooses an analysis of the robustness.
func (m *Model) VariantFragment(e *answer.Effort, v decide.Variant) string {
	c, _ := m.withVariant(e, v)
	return c.Fragment()
}
