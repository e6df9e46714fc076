package compare

import (
	"fmt"
	"slices"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// verdict answers "which shoe?" from the ranking with the most blocks. It is
// the only generator of that sentence.
func verdict(ds *trial.Dataset, r *Result) Verdict {
	label := Labels(ds)
	if len(r.Rankings) == 0 || len(r.Rankings[0].Places) < 2 {
		return Verdict{Headline: "No two shoes can be compared yet.", Detail: []string{"A comparison needs two shoes run at the same effort in one session."}}
	}
	top := r.Rankings[0]
	v := Verdict{Headline: headline(top, r, label, ds.Facts.Method.Confidence)}
	best := top.Places[0]
	rival := r.Find(top.Outcome, top.Level, best.Shoe, top.Places[1].Shoe)
	if rival != nil && rival.Shoe != best.Shoe {
		flipped := rival.Flip()
		rival = &flipped
	}
	if rival != nil {
		v.Detail = append(v.Detail, details(rival, label, ds.Facts.Method.Confidence)...)
	}
	return v
}

// headline names a best shoe only when the adjusted comparisons tell it apart
// from every other.
func headline(top Ranking, r *Result, label func(string) string, confidence float64) string {
	best := top.Places[0]
	if len(best.Apart) == len(top.Places)-1 {
		c := r.Find(top.Outcome, top.Level, best.Shoe, top.Places[1].Shoe)
		if c.Shoe != best.Shoe {
			flipped := c.Flip()
			c = &flipped
		}
		return fmt.Sprintf("%s comes out ahead of every other shoe %s; against the next one, %s, by %s.", label(best.Shoe), AtLevel(top.Level), label(c.Reference), c.Interval(confidence))
	}
	together := []string{label(best.Shoe)}
	for _, p := range top.Places[1:] {
		if !slices.Contains(best.Apart, p.Shoe) {
			together = append(together, label(p.Shoe))
		}
	}
	text := fmt.Sprintf("%s cannot be told apart in %s %s", join(together), top.Outcome.Info().Label, AtLevel(top.Level))
	if len(best.Apart) > 0 {
		var behind []string
		for _, shoe := range best.Apart {
			behind = append(behind, label(shoe))
		}
		return fmt.Sprintf("%s; %s is told apart from %s.", text, label(best.Shoe), join(behind))
	}
	return text + "."
}

// details are the sentences that belong with the headline.
func details(c *Comparison, label func(string) string, confidence float64) []string {
	lines := []string{c.Sentence(label, confidence)}
	if units.Known(c.Adjustment) {
		lines = append(lines, fmt.Sprintf("Adjusting to equal effort moved this by %s.", c.Amount(c.Adjustment)))
	}
	if units.Known(c.TippingDrift) {
		lines = append(lines, fmt.Sprintf("A drift of %s per block would produce the difference by itself.", c.Amount(c.TippingDrift)))
	}
	lines = append(lines, fmt.Sprintf("The evidence is %s.", evidenceWords[c.Evidence]))
	if len(c.Reasons) > 0 {
		lines = append(lines, "What would raise it: "+strings.Join(c.Reasons, "; ")+".")
	}
	return lines
}

var evidenceWords = map[Grade]string{NoEvidence: "not there yet: no interval can be given", Thin: "thin", Fair: "fair", Solid: "solid"}

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

func join(names []string) string {
	if len(names) == 1 {
		return names[0]
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}
