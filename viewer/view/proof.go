package view

import (
	"fmt"

	"soletrial/pipeline/figure"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// stateWords put the state of a table in words.
var stateWords = map[app.TableState]string{
	app.Identical:   "identical",
	app.Differs:     "differs from the published table",
	app.Altered:     "the file this site serves is not the one its index names",
	app.Unpublished: "made here, but not published",
	app.Unmade:      "published, but not made here",
}

// proof lists every table with both hashes, so that anybody can check them with
// a program of their own.
func proof(m *app.Model) *tree.Node {
	body := tree.El("tbody")
	for _, t := range m.Check {
		class := ""
		if t.State != app.Identical {
			class = "differs"
		}
		body.Children = append(body.Children, tree.El("tr", tree.Key(t.Name), tree.A("class", class),
			tree.El("th", tree.A("scope", "row"), tree.Text(figure.Visible(t.Name))),
			tree.El("td", tree.Text(stateWords[t.State]), firstLine(t)),
			tree.El("td", tree.El("code", tree.Text(t.Published))),
			tree.El("td", tree.El("code", tree.Text(t.Here))),
		))
	}
	return tree.El("section", tree.Key("proof"), tree.A("aria-labelledby", "proof-title"),
		tree.El("h2", tree.A("id", "proof-title"), tree.Text("Proof")),
		tree.El("p", tree.A("id", "proof-sentence"), tree.Text(Proven(m))),
		tree.El("p", tree.A("class", "quiet"), tree.Text(fmt.Sprintf("%d of %d files were kept from an earlier visit; every one was checked against its SHA-256.", m.Bundle.Kept, len(m.Bundle.Index.Files)+len(m.Bundle.Index.Derived)))),
		scrollable("proof-scroll", "Table of hashes", tree.El("table", tree.A("id", "proof-table"),
			tree.El("caption", tree.Text("SHA-256 of every derived table, under the published method")),
			headings("Table", "Result", "Published", "Made here"), body)),
	)
}

// firstLine shows where two tables part.
func firstLine(t app.TableCheck) tree.Part {
	if t.Line == 0 {
		return tree.Parts(nil)
	}
	return tree.El("dl",
		tree.El("dt", tree.Text(fmt.Sprintf("Line %d, published", t.Line))), tree.El("dd", tree.El("code", tree.Text(figure.Visible(t.LinePublished)))),
		tree.El("dt", tree.Text(fmt.Sprintf("Line %d, made here", t.Line))), tree.El("dd", tree.El("code", tree.Text(figure.Visible(t.LineHere)))),
	)
}
