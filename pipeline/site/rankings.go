package site

import (
	"strings"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/english"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// percentEstimate is a difference of logarithms as figures draw it, in percent.
func percentEstimate(d decide.Difference) figure.Estimate {
	return figure.Estimate{Value: decide.Percent(d.Mean), Low: decide.Percent(d.Low), High: decide.Percent(d.High)}
}

// groupFigure draws the shoes of a group, best first, each against the reference. A short
// one leaves the intervals to the lines.
func (s *site) groupFigure(e *answer.Effort, g *answer.Group, id string, short bool) figure.Ranking {
	reference := g.Reference()
	f := figure.Ranking{
		Head: figure.Head{ID: id, Title: effortTitle(e), Desc: s.groupWords(e, g)},
		Axis: betterAxis(e, s.speaker.Label(reference)), Unit: "%", Decimals: answer.PercentDecimals, Short: short,
	}
	for i := range g.Places {
		p := &g.Places[i]
		f.Rows = append(f.Rows, figure.RankingRow{Label: s.speaker.Label(p.Shoe), Shoe: s.place(p.Shoe),
			Reference: p.Reference, Estimate: percentEstimate(p.Against)})
	}
	return f
}

// betterAxis names the axis of differences in favour of a shoe: right is better.
func betterAxis(e *answer.Effort, reference string) string {
	if e.Outcome == trial.Heart {
		return "% lower than " + reference + ": right is easier"
	}
	return "% faster than " + reference + ": right is faster"
}

// groupWords is the text alternative of a group's figure.
func (s *site) groupWords(e *answer.Effort, g *answer.Group) string {
	var lines []string
	for i := range g.Places {
		p := &g.Places[i]
		line := s.speaker.Label(p.Shoe) + ": reference"
		if !p.Reference {
			line = s.speaker.Label(p.Shoe) + ": " + interval(p.Against)
		}
		lines = append(lines, line)
	}
	return english.Capitalise(betterAxis(e, s.speaker.Label(g.Reference()))) + ". " + strings.Join(lines, "; ") + "."
}

// interval writes a difference with its 95 % interval and typographic signs.
func interval(d decide.Difference) string {
	return percentEstimate(d).Words(answer.PercentDecimals, "%")
}

// groupTable has a row for every pair of a group that is kept, the better shoe first.
func (s *site) groupTable(e *answer.Effort, g *answer.Group, root string, keep func(*answer.Pair) bool) table {
	better := "faster than"
	if e.Outcome == trial.Heart {
		better = "lower heart rate than in"
	}
	t := table{Cards: true, Caption: effortTitle(e) + ": every pair, the better shoe first",
		Head: columns("Shoe", english.Capitalise(better), "#Difference (95 % interval)", "#Chance",
			"#Chance of more than "+percentOf(e.Settings.Worthwhile)+" %", "#On one day to come", "Evidence")}
	for i := range g.Pairs {
		p := &g.Pairs[i]
		if !keep(p) {
			continue
		}
		t.Rows = append(t.Rows, []cell{shoeCell(s.shoe(p.Shoe, root)), shoeCell(s.shoe(p.Reference, root)),
			numeric(interval(p.D)), numeric(answer.Chance(p.D.Above)), numeric(answer.Chance(p.D.AboveWorthwhile)),
			numeric(span(p.NextLow, p.NextHigh)), text(string(p.Evidence))})
	}
	return t
}

// maxPairs is how many pairs one table shows.
const maxPairs = 100

// pairsTable shows every pair of a group or, where they are too many for a page, those of the
// leader.
func (s *site) pairsTable(e *answer.Effort, g *answer.Group, root string) table {
	if len(g.Pairs) <= maxPairs {
		return s.groupTable(e, g, root, func(*answer.Pair) bool { return true })
	}
	leader := g.Places[0].Shoe
	t := s.groupTable(e, g, root, func(p *answer.Pair) bool { return p.Shoe == leader || p.Reference == leader })
	t.Caption = effortTitle(e) + ": " + s.label(leader) + " against every other shoe; all " +
		units.Count(len(g.Pairs), "pair") + " are in derived/decisions.csv"
	return t
}

// near are the shoes whose comparisons a page shows in full where there are many: the reference
// and the first of the headline's answer; nil where there are few.
func (s *site) near() map[string]bool {
	_, g := s.speaker.Answers.Top()
	if g == nil || len(s.ds.Shoes) <= maxNear {
		return nil
	}
	near := map[string]bool{s.ds.Reference(): true}
	for _, p := range g.Places[:min(maxNear, len(g.Places))] {
		near[p.Shoe] = true
	}
	return near
}

// maxNear is how many shoes a page compares with in full.
const maxNear = 10

// span writes the 95 % interval alone.
func span(low, high float64) string {
	return figure.Signed(decide.Percent(low), answer.PercentDecimals) + " to " +
		figure.Signed(decide.Percent(high), answer.PercentDecimals) + "\u00a0%"
}

// percentOf writes a share in percent without trailing zeros.
func percentOf(share float64) string {
	return strings.TrimSpace(quantity(units.Round(100*share, 2), 2, ""))
}
