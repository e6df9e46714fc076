package app

import (
	"cmp"
	"slices"
	"sort"
	"strings"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Row is one pair of shoes at one level: the published comparison, turned to the
// reader's reference shoe, beside the reader's. Either is nil where there is none.
type Row struct {
	Outcome          trial.Outcome
	Level            string
	Shoe, Reference  string
	Published, Yours *compare.Comparison
}

// Rows lists the comparisons of the outcome shown, those of the
// level with most blocks first, within it those with the reference shoe.
func (m *Model) Rows() []Row {
	rows := map[[4]string]*Row{}
	gather := func(list []compare.Comparison, place func(*Row) **compare.Comparison) {
		for i := range list {
			c := &list[i]
			if !m.isShown(c) {
				continue
			}
			key := [4]string{c.Level, c.Shoe, c.Reference, c.Outcome.Info().ID}
			if rows[key] == nil {
				rows[key] = &Row{Outcome: c.Outcome, Level: c.Level, Shoe: c.Shoe, Reference: c.Reference}
			}
			*place(rows[key]) = c
		}
	}
	gather(m.rebased.Compare.Comparisons, func(r *Row) **compare.Comparison { return &r.Published })
	gather(m.yours.Compare.Comparisons, func(r *Row) **compare.Comparison { return &r.Yours })
	sorted := make([]Row, 0, len(rows))
	for _, row := range rows { // sorted below
		sorted = append(sorted, *row)
	}
	ranks := m.levelRanks()
	sort.Slice(sorted, func(i, j int) bool { return m.compareRows(&sorted[i], &sorted[j], ranks) < 0 })
	return sorted
}

func (m *Model) isShown(c *compare.Comparison) bool {
	if m.choice.Effort != "" && c.Effort != m.choice.Effort {
		return false
	}
	if m.choice.Outcome != "" {
		return c.Outcome.Info().ID == m.choice.Outcome
	}
	return c.Outcome == compare.Primary(m.Dataset.Facts.Method, c.Effort)
}

func (m *Model) compareRows(a, b *Row, ranks map[string]int) int {
	sign := func(r *Row) string {
		if r.Reference == m.Reference() {
			return "0"
		}
		return "1"
	}
	key := func(r *Row) []string { return []string{r.Level, sign(r), r.Reference, r.Shoe, r.Outcome.Info().ID} }
	return cmp.Or(cmp.Compare(ranks[a.Level], ranks[b.Level]),
		slices.CompareFunc(key(a), key(b), strings.Compare))
}

// levelRanks returns the place of each level: that of its first comparison. One that has none
// comes before all.
func (m *Model) levelRanks() map[string]int {
	ranks := map[string]int{}
	for i := range m.published.Compare.Comparisons {
		if level := m.published.Compare.Comparisons[i].Level; ranks[level] == 0 {
			ranks[level] = len(ranks) + 1
		}
	}
	return ranks
}

// Efforts lists the efforts that the dataset answers at.
func (m *Model) Efforts() (efforts []trial.Effort) {
	add := func(effort trial.Effort) {
		if !slices.Contains(efforts, effort) {
			efforts = append(efforts, effort)
		}
	}
	if m.published.Answers == nil {
		for i := range m.readBack {
			add(m.readBack[i].Effort)
		}
		return efforts
	}
	for i := range m.published.Answers.Efforts {
		add(m.published.Answers.Efforts[i].Effort)
	}
	return efforts
}

// AnswerOutcomes lists the outcomes that an answer can be given in, at one of the efforts.
func (m *Model) AnswerOutcomes() (outcomes []trial.Outcome) {
	for _, o := range []trial.Outcome{trial.Speed, trial.Heart} {
		able := func(e trial.Effort) bool { _, able := m.Dataset.Facts.Method.EqualEffort(e, o); return able }
		if slices.ContainsFunc(m.Efforts(), able) {
			outcomes = append(outcomes, o)
		}
	}
	return outcomes
}

// Outcomes lists the outcomes that the dataset compares, in their order.
func (m *Model) Outcomes() []trial.Outcome {
	var compared [trial.OutcomeCount]bool
	for i := range m.published.Compare.Comparisons {
		compared[m.published.Compare.Comparisons[i].Outcome] = true
	}
	var outcomes []trial.Outcome
	for o, there := range compared {
		if there {
			outcomes = append(outcomes, trial.Outcome(o))
		}
	}
	return outcomes
}

// EstimateText prints a comparison's estimate with its interval and unit.
func EstimateText(c *compare.Comparison) string {
	if c == nil {
		return "not estimable"
	}
	return figure.Estimate{Value: c.Estimate, Low: c.Low, High: c.High}.Words(Decimals, Unit(c.Outcome))
}

// Decimals is the precision of differences, as on the published pages.
const Decimals = answer.PercentDecimals

// Unit returns the unit of a difference in an outcome: percent for ratios.
func Unit(o trial.Outcome) string {
	if o.Info().Ratio {
		return "%"
	}
	return o.Info().Unit
}

// Changed reports whether the reader's choice changes what the row says.
func (r Row) Changed() bool { return EstimateText(r.Published) != EstimateText(r.Yours) }

// Summary says in words what the reader changed; "" when nothing is.
func (m *Model) Summary() string {
	published, insteadOf := m.Dataset.Facts.Method, " instead of "
	var parts []string
	// The method: window, drift, exponent.
	for p := range TrimCount {
		if cut := m.choice.Trim[p]; units.Known(cut) {
			was := *p.Of(&published.Trim)
			parts = append(parts, TrimLabels[p]+" "+FormatSeconds(cut)+" s"+insteadOf+FormatSeconds(was)+" s")
		}
	}
	switch m.choice.Laps {
	case trial.WholeLaps:
		parts = append(parts, "whole laps only")
	case Seconds:
		parts = append(parts, "by seconds instead of whole laps")
	}
	switch m.choice.Drift {
	case trial.DriftLinear:
		parts = append(parts, "corrected for a straight drift")
	case trial.DriftNone:
		parts = append(parts, "not corrected for drift")
	}
	if exponent := m.choice.Exponent; units.Known(exponent) {
		was := ""
		if units.Known(published.PowerExponent) {
			was = insteadOf + FormatSeconds(published.PowerExponent)
		}
		parts = append(parts, "correction for uneven power "+FormatSeconds(exponent)+was)
	}
	// What is compared with what, and in what.
	if reference := m.choice.Reference; reference != "" {
		parts = append(parts, "compared with "+m.ShoeLabel(reference)+insteadOf+m.ShoeLabel(m.Dataset.Reference()))
	}
	if o, known := trial.OutcomeNamed(m.comparesIn()); known {
		parts = append(parts, "compared in "+o.Info().Label)
	}
	// The blocks that count or do not.
	for _, b := range m.choice.Blocks {
		did := "excluded"
		if b.Included {
			did = "included"
		}
		name := figure.Visible(b.Block + " of " + answer.SessionName(m.Dataset, b.Session))
		parts = append(parts, "block "+name+" "+withReason(did, figure.Visible(b.Reason)))
	}
	return strings.Join(parts, "; ")
}

// TrimLabels name the parts of a trim for people.
var TrimLabels = [TrimCount]string{"trim at the start", "trim at the end", "heart rate: trim at the start"}
