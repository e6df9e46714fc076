package view

import (
	"cmp"
	"fmt"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/units"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// trySection makes all analyses of the robustness on the reader's own choice, and shows them.
func trySection(m *app.Model) *tree.Node {
	part := section("try", "Try to break it")
	if m.Trying.Running {
		of := max(m.Trying.Of, 1)
		bar := tree.El("progress id=try-progress aria-label=Analyses").Set("max", units.FormatDecimal(float64(of), 0))
		return part.Add(tree.El("p").Keyed("running").Add(
			bar.Set("value", units.FormatDecimal(float64(m.Trying.Made), 0)),
			tree.Text(fmt.Sprintf(" %d of %d analyses", m.Trying.Made, of))))
	}
	e, g := m.Analyses()
	if g == nil {
		intro := "Other steady windows, other corrections for drift and effort, and each block left out in turn. " +
			"One button makes all these analyses of your version, and says in how many the same shoe leads."
		return part.Add(tree.El("p").Keyed("intro").AddText(intro),
			tree.El("p class=buttons").Keyed("start").Add(button(app.DoTry, "Try all other analyses", m.CanTry())),
			waiting(m))
	}

	// What they say, the strip, and the worst of them.
	same, of := g.SameLeader()
	leader := m.ShoeLabel(g.Places[0].Shoe)
	part.Add(
		tree.El("p id=try-result").Keyed("result").AddText(fmt.Sprintf("%s leads in %d of %s.", leader, same,
			units.Plural(of, "analysis", "analyses"))),
		strip(m, e, g))
	if worst := app.Worst(g); worst != nil {
		words := variantWords(m, worst, e) + ": " + analysisWords(m, worst)
		part.Add(tree.El("p").Keyed("worst").AddText("Worst case: "+words+"."),
			tree.El("p class=buttons").Keyed("choose").Add(button(app.DoWorst, "Choose the worst case", true)))
	}
	return part.Add(analysesTable(m, e, g))
}

// waiting says what is still to come before the analyses can be made; nil for nothing.
func waiting(m *app.Model) *tree.Node {
	if m.Bundle.Complete() {
		return nil
	}
	words := "The analyses need the samples, which are not all here yet."
	return tree.El("p class=quiet").Keyed("waiting").AddText(words)
}

// variantWords says what an analysis does otherwise than the published one.
func variantWords(m *app.Model, a *decide.Analysis, e *answer.Effort) string {
	return cmp.Or(answer.VariantWords(a.Variant, e.Settings.Drift, m.Dataset), "the same choices")
}

// analysisWords says who leads in an analysis.
func analysisWords(m *app.Model, a *decide.Analysis) string {
	return m.ShoeLabel(a.Leader) + " " + answer.Percent(a.Lead.Mean) + " against " + m.ShoeLabel(a.Second)
}

// strip shows every analysis as a mark, which leads to it. The table below has the same for
// those who do not see it.
func strip(m *app.Model, e *answer.Effort, g *answer.Group) *tree.Node {
	leader := m.ShoeLabel(g.Places[0].Shoe)
	f := figure.Strip{
		Head: figure.Head{ID: "try-strip", Title: "How robust your version is",
			Desc: "A mark for each analysis: right of the line where " + leader + " leads. All are in the table."},
		Axis: "% ahead of the next: right is further ahead",
	}
	for i := range g.Analyses {
		a := &g.Analyses[i]
		kind := string(a.Variant.Window)
		switch {
		case a.Variant.LeftOutSession != "":
			kind = "one left out"
		case a.Variant.Shared != decide.SharedUnknown:
			kind = "sensor error"
		}
		words := variantWords(m, a, e) + ": " + analysisWords(m, a)
		f.Add(kind, figure.StripMark{Shoe: m.ShoeIndex(a.Leader), Value: decide.Percent(app.Margin(g, a)), Words: words,
			Href: "#" + m.VariantFragment(e, a.Variant)})
	}
	return tree.El("figure").Keyed("strip").Add(tree.El("div").SetFigure(f.SVG(m.Width)))
}

// analysesTable lists every analysis.
func analysesTable(m *app.Model, e *answer.Effort, g *answer.Group) *tree.Node {
	body := tree.El("tbody")
	for i := range g.Analyses {
		a := &g.Analyses[i]
		body.Add(tree.El("tr").Keyed(units.FormatDecimal(float64(i), 0)).Add(
			tree.El("th scope=row").AddText(figure.Visible(variantWords(m, a, e))),
			cell(m.ShoeLabel(a.Leader)), cell(answer.Interval(a.Lead)), cell(answer.Chance(a.ChanceLeading))))
	}
	table := tree.El("table id=try-table").Add(caption("Every analysis"),
		headings("Analysis", "Leads", "Against the second", "Chance of being the fastest"), body)
	summary := tree.El("summary").AddText("All analyses")
	return tree.El("details").Keyed("all").Add(summary, scrollable("Analyses", table))
}
