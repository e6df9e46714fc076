package view

import (
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
		intro := "Other windows, drifts and exponents, one block left out after the other: one button makes all of these " +
			"analyses on what you chose, and says in how many the same shoe leads."
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
		strip(m, g))
	if worst := app.Worst(g); worst != nil {
		part.Add(tree.El("p").Keyed("worst").AddText("Worst case: "+app.VariantWords(worst.Variant, e.Settings.Drift)+": "+
			analysisWords(m, worst)+"."),
			tree.El("p class=buttons").Keyed("choose").Add(button(app.DoWorst, "Choose the worst case", true)))
	}
	return part.Add(analysesTable(m, e, g))
}

// waiting says what is still to come before the analyses can be made; nil for nothing.
func waiting(m *app.Model) *tree.Node {
	if m.Bundle.Complete() {
		return nil
	}
	return tree.El("p class=quiet").Keyed("waiting").AddText("The analyses need the samples, which are not all here yet.")
}

// analysisWords says who leads in an analysis.
func analysisWords(m *app.Model, a *decide.Analysis) string {
	return m.ShoeLabel(a.Leader) + " " + answer.Percent(a.Lead.Mean) + " against " + m.ShoeLabel(a.Second)
}

// strip shows every analysis as a mark along the margin of the leader: right of the line it
// leads. The table below has the same for those who do not see it.
func strip(m *app.Model, g *answer.Group) *tree.Node {
	low, high := 0.0, 0.0
	for i := range g.Analyses {
		at := decide.Percent(app.Margin(g, &g.Analyses[i]))
		low, high = min(low, at), max(high, at)
	}
	span := max(high-low, 0.1)
	percent := func(at float64) string { return horizontal(2+96*(at-low)/span, 0) }
	row := tree.El("div class=try-strip aria-hidden=true").Keyed("strip")
	zero := tree.El("div class=zero").Keyed("zero").Set("style", percent(0))
	row.Add(zero)
	for i := range g.Analyses {
		a := &g.Analyses[i]
		margin := app.Margin(g, a)
		class := "same"
		if margin < 0 {
			class = "other"
		}
		row.Add(tree.El("div").Class(class).Keyed(units.FormatDecimal(float64(i), 0)).Set("style",
			percent(decide.Percent(margin))).Set("title", analysisWords(m, a)))
	}
	words := "Left: another shoe leads. Right of the line: " + m.ShoeLabel(g.Places[0].Shoe) + " leads, up to " +
		figure.Signed(high, answer.PercentDecimals) + " %."
	return tree.El("div").Keyed("strip").Add(row, tree.El("p class=quiet").AddText(words))
}

// analysesTable lists every analysis.
func analysesTable(m *app.Model, e *answer.Effort, g *answer.Group) *tree.Node {
	body := tree.El("tbody")
	for i := range g.Analyses {
		a := &g.Analyses[i]
		body.Add(tree.El("tr").Keyed(units.FormatDecimal(float64(i), 0)).Add(
			tree.El("th scope=row").AddText(figure.Visible(app.VariantWords(a.Variant, e.Settings.Drift))),
			cell(m.ShoeLabel(a.Leader)), cell(answer.Interval(a.Lead)), cell(answer.Chance(a.ChanceLeading))))
	}
	table := tree.El("table id=try-table").Add(caption("Every analysis"),
		headings("Analysis", "Leads", "Against the second", "Chance of being the fastest"), body)
	return tree.El("details").Keyed("all").Add(tree.El("summary").AddText("All analyses"), scrollable("Analyses", table))
}
