package compare

import (
	"fmt"
	"slices"
	"strings"

	"soletrial/pipeline/english"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// verdict answers "which shoe?" from the ranking with the most blocks. It is
// the only generator of that sentence.
func verdict(ds *trial.Dataset, r *Result) Verdict {
	if len(r.Rankings) == 0 || len(r.Rankings[0].Places) < 2 {
		return Verdict{Headline: "No two shoes can be compared yet.",
			Detail: []string{"A comparison needs two shoes run at the same effort in one session."}}
	}
	a := answer{top: r.Rankings[0], result: r, label: Labels(ds), confidence: ds.Facts.Method.Confidence}
	v := Verdict{Headline: a.headline()}
	if rival := a.against(a.top.Places[1].Shoe); rival != nil {
		v.Detail = details(rival, a.label, a.confidence)
	}
	if outside := a.outside(); len(outside) > 0 {
		v.Detail = append(v.Detail, fmt.Sprintf("Not in this order, because no session links them with %s: %s.",
			a.label(a.reference()), english.List(outside, "and")))
	}
	return v
}

// answer is what the headline is made from.
type answer struct {
	top        Ranking
	result     *Result
	label      func(string) string
	confidence float64
}

func (a *answer) reference() string {
	for _, p := range a.top.Places {
		if p.Reference {
			return p.Shoe
		}
	}
	return ""
}

// against returns the first shoe's comparison with another, seen from the first.
func (a *answer) against(other string) *Comparison {
	best := a.top.Places[0].Shoe
	c := a.result.Find(a.top.Outcome, a.top.Level, best, other)
	if c != nil && c.Shoe != best {
		reversed := c.Reverse()
		c = &reversed
	}
	return c
}

// outside names the level's shoes that are not in the ranking.
func (a *answer) outside() []string {
	ranked := func(shoe string) bool {
		return slices.ContainsFunc(a.top.Places, func(p Place) bool { return p.Shoe == shoe })
	}
	var names []string
	for i := range a.result.Comparisons {
		c := &a.result.Comparisons[i]
		if c.Outcome != a.top.Outcome || c.Level != a.top.Level {
			continue
		}
		for _, shoe := range []string{c.Shoe, c.Reference} {
			if name := a.label(shoe); !ranked(shoe) && !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	return names
}

// headline names a best shoe only when the adjusted comparisons tell it apart
// from every other, and none when more of the outcome is neither better nor
// worse.
func (a *answer) headline() string {
	// Sort the others into behind, together and unlinked.
	best, at := a.top.Places[0], AtLevel(a.top.Level)
	var behind, together, unlinked []string
	for _, p := range a.top.Places[1:] {
		switch c := a.against(p.Shoe); {
		case slices.Contains(best.Apart, p.Shoe):
			behind = append(behind, a.label(p.Shoe))
		case c == nil || c.Model == NotComparable:
			unlinked = append(unlinked, a.label(p.Shoe))
		default:
			together = append(together, a.label(p.Shoe))
		}
	}
	name := a.label(best.Shoe)
	// No order, or one shoe ahead of all.
	if a.top.Outcome.Info().Better == 0 {
		return fmt.Sprintf("A higher %s is neither better nor worse, so no shoe comes first %s.",
			a.top.Outcome.Info().Label, at)
	}
	if len(together)+len(unlinked) == 0 {
		next := a.against(a.top.Places[1].Shoe)
		others := "every other shoe"
		if len(a.outside()) > 0 {
			others = "every shoe it can be compared with"
		}
		if next.Model == OneSession {
			at += " in the one session there is"
		}
		return fmt.Sprintf("%s comes out ahead of %s %s; against the next one, %s, by %s.", name, others, at,
			a.label(next.Reference), next.Interval(a.confidence))
	}
	// Else each kind of the others in its part of the sentence.
	var parts []string
	if len(together) > 0 {
		parts = append(parts, fmt.Sprintf("%s cannot be told apart in %s %s",
			english.List(append([]string{name}, together...), "and"), a.top.Outcome.Info().Label, at))
	}
	if len(behind) > 0 {
		parts = append(parts, fmt.Sprintf("%s is told apart from %s", name, english.List(behind, "and")))
	}
	if len(unlinked) > 0 {
		parts = append(parts, fmt.Sprintf(
			"%s and %s were never linked within one runner's sessions and cannot be compared",
			name, english.List(unlinked, "and")))
	}
	return strings.Join(parts, "; ") + "."
}

// details are the sentences that belong with the headline.
func details(c *Comparison, label func(string) string, confidence float64) []string {
	lines := []string{c.judgement(label, confidence)}
	if units.Known(c.Adjustment) {
		lines = append(lines, fmt.Sprintf("Adjusting to equal effort moved this by %s.", c.Amount(c.Adjustment)))
	}
	if units.Known(c.TippingDrift) {
		line := fmt.Sprintf("A drift of %s per block would produce the difference by itself", c.Amount(c.TippingDrift))
		if units.Known(c.TippingInterval) {
			line += fmt.Sprintf(", one of %s would bring the interval to zero", c.Amount(c.TippingInterval))
		}
		lines = append(lines, line+".")
	}
	lines = append(lines, fmt.Sprintf("The evidence is %s.", evidenceWords[c.Evidence]))
	if len(c.Reasons) > 0 {
		lines = append(lines, "What would raise it: "+strings.Join(c.Reasons, "; ")+".")
	}
	return lines
}

var evidenceWords = map[Grade]string{NoEvidence: "not there yet: no interval can be given", Thin: "thin", Fair: "fair",
	Solid: "solid"}

// Labels returns a function from shoe id to the shoe's label, or the id where
// the register has none.
func Labels(ds *trial.Dataset) func(string) string {
	return func(id string) string {
		if s := ds.Shoe(id); s != nil && s.Label != "" {
			return s.Label
		}
		return id
	}
}
