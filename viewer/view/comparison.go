package view

import (
	"slices"
	"strconv"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/english"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// comparisonSection is the table of shoe pairs, published beside yours, and the
// ranking figures under the reader's choice.
func comparisonSection(m *app.Model) *tree.Node {
	part := section("comparison", "Shoe against shoe, at equal effort")
	for i, r := range m.Yours().Compare.Rankings {
		if level := m.Choice().Level; level == "" || level == r.Level {
			part.Add(ranking(m, i))
		}
	}
	save := tree.El("p class=buttons").Add(saveButton("csv", tableFile, "Save all comparisons as CSV"))
	return part.Add(comparisonTable(m), save)
}

// comparisonTable has one group of rows for each level.
func comparisonTable(m *app.Model) *tree.Node {
	table := tree.El("table id=comparison-table").Add(
		caption("Differences with their intervals. A plus means more of the quantity in the first shoe."),
		headings("Shoe against shoe", "Published", "Yours", "Blocks", "Evidence"))
	var group *tree.Node
	for _, row := range m.Rows() {
		title := english.Capitalise(row.Outcome.Info().Label) + " " + m.AtLevel(row.Level)
		if group == nil || group.Key != title {
			heading := tree.El("th colspan=5 scope=rowgroup").AddText(title)
			group = tree.El("tbody").Keyed(title).Add(tree.El("tr class=level").Add(heading))
			table.Add(group)
		}
		group.Add(comparisonRow(m, row))
	}
	return scrollable("Table of comparisons", table)
}

func comparisonRow(m *app.Model, row app.Row) *tree.Node {
	yours, class := "as published", ""
	switch {
	case !m.Choice().Changed():
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

// ranking shows one level's ranking under the reader's choice.
func ranking(m *app.Model, i int) *tree.Node {
	f := rankingFigure(m, i)
	return tree.El("figure").Keyed("ranking "+m.Yours().Compare.Rankings[i].Level).Add(
		tree.El("figcaption").AddText(f.Title), tree.El("div").SetFigure(f.SVG(m.Width)), saveButtons(f.ID, f.Title))
}

func rankingFigure(m *app.Model, i int) figure.Ranking {
	r := m.Yours().Compare.Rankings[i]
	info := r.Outcome.Info()
	whose := "as published"
	if m.Choice().Changed() {
		whose = "yours"
	}
	title := english.Capitalise(info.Label) + " " + m.AtLevel(r.Level) + ", " + whose
	f := figure.Ranking{
		Head: figure.Head{ID: rankingID + strconv.Itoa(i), Title: title,
			Desc: "The same numbers are in the table below."},
		Axis: axisLabel(m, r.Outcome), Unit: app.Unit(r.Outcome), Decimals: app.Decimals,
	}
	for _, place := range r.Places {
		shoe := m.ShoeIndex(place.Shoe)
		row := figure.RankingRow{
			Label: figure.Letter(shoe) + "  " + m.ShoeLabel(place.Shoe), Shoe: shoe, Reference: place.Reference,
			Estimate: figure.Estimate{Value: place.Estimate, Low: place.Low, High: place.High},
		}
		for _, other := range place.Apart {
			isOther := func(p compare.Place) bool { return p.Shoe == other }
			row.Apart = append(row.Apart, slices.IndexFunc(r.Places, isOther))
		}
		f.Rows = append(f.Rows, row)
	}
	return f
}

// axisLabel names the axis of a ranking and says which side is the better one.
func axisLabel(m *app.Model, o trial.Outcome) string {
	label := app.Unit(o) + " " + o.Info().Label + " from " + m.ShoeLabel(m.Reference())
	switch o.Info().Better {
	case 1:
		return label + "; right is better"
	case -1:
		return label + "; left is better"
	}
	return label
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
