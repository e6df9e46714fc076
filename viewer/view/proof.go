package view

import (
	"fmt"
	"strconv"

	"soletrial/pipeline/figure"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// stateTexts say the state of a table in words.
var stateTexts = map[app.TableState]string{
	app.Identical:   "identical",
	app.Differs:     "differs from the published table",
	app.Altered:     "the file this site serves is not the one its index names",
	app.Unpublished: "made here, but not published",
	app.NotDerived:  "published, but not made here",
}

// proofSection lists every table with both hashes, so that anybody can check them with
// a program of their own.
func proofSection(m *app.Model) *tree.Node {
	body := tree.El("tbody")
	for _, t := range m.Check {
		class := ""
		if t.State != app.Identical {
			class = "differs"
		}
		body.Add(tree.El("tr").Keyed(t.Name).Class(class).Add(
			tree.El("th scope=row").AddText(figure.Visible(t.Name)),
			tree.El("td").AddText(stateTexts[t.State]).Add(firstLine(t)),
			tree.El("td").Add(tree.El("code").AddText(t.Published)),
			tree.El("td").Add(tree.El("code").AddText(t.Recomputed)),
		))
	}

	// Below the table, what the store saved.
	visit := fmt.Sprintf("%d of %d files were kept from an earlier visit; every one was checked against its SHA-256.",
		m.Bundle.FromStore, len(m.Bundle.Index.Files)+len(m.Bundle.Index.Derived))
	if !m.Bundle.Complete() {
		return section("proof", "Proof").Add(tree.El("p").AddText(ProofStatus(m)),
			tree.El("p class=quiet").AddText("Once all sessions are fetched, every table is made here and compared "+
				"with the published one, byte by byte."))
	}
	return section("proof", "Proof").Add(
		tree.El("p").AddText(ProofStatus(m)),
		tree.El("p class=quiet").AddText(visit),
		scrollable("Table of hashes", tree.El("table id=proof-table").Add(
			caption("SHA-256 of every derived table, under the published method"),
			headings("Table", "Result", "Published", "Made here"), body)),
	)
}

// firstLine shows where two tables part; nil when there is nothing to show.
func firstLine(t app.TableCheck) *tree.Node {
	if t.Line == 0 {
		return nil
	}
	at := "Line " + strconv.Itoa(t.Line)
	return tree.El("dl").Add(
		tree.El("dt").AddText(at+", published"),
		tree.El("dd").Add(tree.El("code").AddText(figure.Visible(t.LinePublished))),
		tree.El("dt").AddText(at+", made here"),
		tree.El("dd").Add(tree.El("code").AddText(figure.Visible(t.LineRecomputed))),
	)
}
