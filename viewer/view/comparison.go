package view

import (
	"strconv"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/english"
	"soletrial/pipeline/units"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// comparisonsSection is the table of shoe pairs without the assumptions of the decision model,
// published beside yours, behind a control that opens it.
func comparisonsSection(m *app.Model) *tree.Node {
	open := m.Choice().Comparisons
	toggle := tree.El("input type=checkbox id=plain").SetIf("checked", open).On("change", app.DoPlain)
	part := section("comparison", "Without assumptions").Add(tree.El("p class=tick").Keyed("toggle").Add(toggle,
		tree.El("label for=plain").AddText(
			"Show every comparison, without what the answer assumes beforehand",
		)))
	switch rows := m.Rows(); {
	case !open:
	case len(rows) == 0 && !m.Bundle.Complete():
		part.Add(tree.El("p").Keyed("wait").AddText("Fetching the comparisons…"))
	default:
		save := tree.El("p class=buttons").Keyed("save")
		save.Add(saveButton("csv", tableFile, "Save all comparisons as CSV"))
		part.Add(plainOutcomes(m), comparisonTable(m, rows), save)
	}
	return part
}

// mostPairs is how many pairs of one level are shown: 60 shoes make 1,770, which no page can hold.
const mostPairs = 100

// comparisonTable has one group of rows for each level, those with the reference shoe first.
func comparisonTable(m *app.Model, rows []app.Row) *tree.Node {
	table := tree.El("table id=comparison-table").Add(
		caption("Differences with their intervals. A plus means more of the quantity in the first shoe."),
		headings("Shoe against shoe", "Published", "Yours", "Blocks", "Evidence"))
	var group *tree.Node
	shown, hidden := 0, 0
	for _, row := range rows {
		title := english.Capitalise(row.Outcome.Info().Label) + " " + m.AtLevel(row.Level)
		if group == nil || group.Key != title {
			heading := tree.El("th colspan=5 scope=rowgroup").AddText(title)
			group = tree.El("tbody").Keyed(title).Add(tree.El("tr class=level").Add(heading))
			table.Add(group)
			shown = 0
		}
		if shown++; shown > mostPairs {
			hidden++
			continue
		}
		group.Add(comparisonRow(m, row))
	}
	if hidden > 0 {
		note := tree.El("td colspan=5").AddText(units.Count(hidden, "more pair") + " in the CSV file below")
		table.Add(tree.El("tbody").Keyed("hidden").Add(tree.El("tr").Add(note)))
	}
	return scrollable("Table of comparisons", table)
}

func comparisonRow(m *app.Model, row app.Row) *tree.Node {
	yours, class := "as published", ""
	switch {
	case m.FromSums():
		yours = "once all samples are here"
	case !m.Changed():
	case row.Changed():
		yours, class = app.EstimateText(row.Yours), "moved"
	default:
		yours = app.EstimateText(row.Yours) + ", unchanged"
	}
	blocks := bothTexts(row, func(c *compare.Comparison) string { return strconv.Itoa(c.Blocks) })
	evidence := bothTexts(row, func(c *compare.Comparison) string { return string(c.Evidence) })
	return tree.El("tr").Keyed(row.Shoe+" "+row.Reference).Class(class).Add(
		tree.El("th scope=row").Add(
			swatch(m, row.Shoe), tree.Text(m.ShoeLabel(row.Shoe)), tree.El("span class=quiet").AddText(" against "),
			swatch(m, row.Reference), tree.Text(m.ShoeLabel(row.Reference))),
		tree.El("td class=published").AddText(app.EstimateText(row.Published)),
		tree.El("td class=yours").AddText(yours),
		tree.El("td class=blocks").AddText(blocks),
		cell(evidence),
	)
}

// bothTexts prints what the two comparisons of a row have in common, or both where
// they differ.
func bothTexts(row app.Row, text func(*compare.Comparison) string) string {
	published, yours := "–", "–"
	if row.Published != nil {
		published = text(row.Published)
	}
	if row.Yours != nil {
		yours = text(row.Yours)
	}
	if published == yours {
		return published
	}
	return published + " → " + yours
}

func headings(labels ...string) *tree.Node {
	row := tree.El("tr")
	for _, label := range labels {
		row.Add(tree.El("th scope=col").AddText(label))
	}
	return tree.El("thead").Add(row)
}

// cell is one cell of a table's body.
func cell(text string) *tree.Node { return tree.El("td").AddText(text) }

// caption names a table in a line that stays in view while the table scrolls.
func caption(text string) *tree.Node {
	return tree.El("caption").Add(tree.El("span").AddText(text))
}

// scrollable lets a wide table scroll inside the page, with the keyboard too.
func scrollable(label string, table *tree.Node) *tree.Node {
	return tree.El("div class=scroll role=group tabindex=0").Keyed(label).Set("aria-label", label).Add(table)
}

// swatch shows a shoe's line and mark; decoration beside its label.
func swatch(m *app.Model, shoe string) *tree.Node {
	return &tree.Node{Tag: "span", Attrs: []tree.Attr{{Name: "class", Value: "swatch-of"}}, SVG: m.Swatch(shoe)}
}
