package view

import (
	"fmt"
	"slices"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// comparison is the table of shoe pairs, published beside yours, and the ranking
// figures under the reader's choice.
func comparison(m *app.Model) *tree.Node {
	section := tree.El("section", tree.Key("comparison"), tree.A("aria-labelledby", "comparison-title"),
		tree.El("h2", tree.A("id", "comparison-title"), tree.Text("Shoe against shoe, at equal effort")))
	for i := range m.Yours().Compare.Rankings {
		section.Children = append(section.Children, ranking(m, i))
	}
	section.Children = append(section.Children, comparisonTable(m))
	return section
}

func comparisonTable(m *app.Model) *tree.Node {
	changed := m.Choice().Changed()
	body := tree.El("tbody")
	for _, row := range m.Rows() {
		body.Children = append(body.Children, comparisonRow(m, row, changed))
	}
	head := headings("Shoe", "against", "in", "Published", "Yours", "Blocks", "Evidence")
	return scrollable("comparison-scroll", "Table of comparisons", tree.El("table", tree.A("id", "comparison-table"),
		tree.El("caption", tree.Text("Differences with their intervals. A plus means more of the quantity in the first shoe.")), head, body))
}

func comparisonRow(m *app.Model, row app.Row, changed bool) *tree.Node {
	yours := "as published"
	class := ""
	if changed {
		yours = app.Words(row.Yours)
		if row.Moved() {
			class = "moved"
		} else {
			yours += " (unchanged)"
		}
	}
	return tree.El("tr", tree.Key(row.Level+" "+row.Outcome.Info().ID+" "+row.Shoe+" "+row.Reference), tree.A("class", class),
		tree.El("th", tree.A("scope", "row"), swatch(m, row.Shoe), tree.Text(m.ShoeLabel(row.Shoe))),
		tree.El("td", swatch(m, row.Reference), tree.Text(m.ShoeLabel(row.Reference))),
		tree.El("td", tree.Text(row.Outcome.Info().Label+" "+compare.AtLevel(row.Level))),
		tree.El("td", tree.A("class", "published"), tree.Text(app.Words(row.Published))),
		tree.El("td", tree.A("class", "yours"), tree.Text(yours)),
		tree.El("td", tree.Text(fromTo(row, func(c *compare.Comparison) string { return fmt.Sprint(c.Blocks) }))),
		tree.El("td", tree.Text(fromTo(row, func(c *compare.Comparison) string { return string(c.Evidence) }))),
	)
}

// fromTo prints what both comparisons have, or both when they differ.
func fromTo(row app.Row, print func(*compare.Comparison) string) string {
	published, yours := "–", "–"
	if row.Published != nil {
		published = print(row.Published)
	}
	if row.Yours != nil {
		yours = print(row.Yours)
	}
	if published == yours {
		return published
	}
	return published + " → " + yours
}

// ranking draws one level's ranking as the reader reads it.
func ranking(m *app.Model, i int) *tree.Node {
	r := m.Yours().Compare.Rankings[i]
	info := r.Outcome.Info()
	whose := "as published"
	if m.Choice().Changed() {
		whose = "yours"
	}
	title := capital(info.Label) + " " + compare.AtLevel(r.Level) + ", " + whose
	f := figure.Ranking{
		Head: figure.Head{ID: fmt.Sprintf("ranking-%d", i), Title: title, Desc: "The same numbers are in the table below."},
		Axis: axis(m, r.Outcome), Unit: app.Unit(r.Outcome), Decimals: app.Decimals,
	}
	for _, place := range r.Places {
		row := figure.RankingRow{Label: figure.Letter(m.ShoePlace(place.Shoe)) + "  " + m.ShoeLabel(place.Shoe), Shoe: m.ShoePlace(place.Shoe), Reference: place.Reference,
			Estimate: figure.Estimate{Value: place.Estimate, Low: place.Low, High: place.High}}
		for _, other := range place.Apart {
			row.Apart = append(row.Apart, slices.IndexFunc(r.Places, func(p compare.Place) bool { return p.Shoe == other }))
		}
		f.Rows = append(f.Rows, row)
	}
	return tree.El("figure", tree.Key("ranking "+r.Level), tree.El("figcaption", tree.Text(title)), tree.SVG("div", f.SVG(m.Width)))
}

// axis names the axis of a ranking and says which side is the better one.
func axis(m *app.Model, o trial.Outcome) string {
	axis := app.Unit(o) + " " + o.Info().Label + " from " + m.ShoeLabel(m.Reference())
	switch o.Info().Better {
	case 1:
		return axis + "; right is better"
	case -1:
		return axis + "; left is better"
	}
	return axis
}

func headings(labels ...string) *tree.Node {
	row := tree.El("tr")
	for _, label := range labels {
		row.Children = append(row.Children, tree.El("th", tree.A("scope", "col"), tree.Text(label)))
	}
	return tree.El("thead", row)
}

// scrollable lets a wide table scroll inside the page, with the keyboard too.
func scrollable(key, label string, table *tree.Node) *tree.Node {
	return tree.El("div", tree.Key(key), tree.A("class", "scroll"), tree.A("role", "region"), tree.A("aria-label", label), tree.A("tabindex", "0"), table)
}

// swatch shows a shoe's line and mark; decoration beside its label.
func swatch(m *app.Model, shoe string) *tree.Node {
	return tree.SVG("span", figure.Swatch(m.ShoePlace(shoe)), tree.A("class", "swatch-of"))
}
