package view

import (
	"fmt"
	"strings"

	"soletrial/pipeline/figure"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// partialStatus says of how much the numbers were derived here while not everything is
// fetched.
func partialStatus(m *app.Model) string {
	p := m.Partial
	rows := "whose rows in blocks.csv are the published ones"
	if len(p.Differing) > 0 {
		rows = "but these blocks are not the published ones: " + figure.Visible(strings.Join(p.Differing, ", "))
	}
	return fmt.Sprintf("Derived here from the samples: %d of %d sessions, %s; the rest as published.", p.Sessions, p.Of,
		rows)
}

// underivedAnswer is the published answer before it is derived here, with the way to
// do that.
func underivedAnswer(m *app.Model) *tree.Node {
	part := section("stand", "As published, not yet derived here").Class("reading published").Add(
		tree.El("p").AddText(m.Published().Compare.Verdict.Headline),
		tree.El("p class=quiet").AddText("These numbers are read from the published table comparisons.csv, whose "+
			"SHA-256 was checked. "+partialStatus(m)),
	)
	if m.Fetching != "" {
		return part.Add(tree.El("p").Keyed("fetching").AddText(m.Fetching),
			tree.El("p class=buttons").Keyed("stop").Add(button(app.DoStop, "Stop fetching", true)))
	}
	label := fmt.Sprintf("Fetch all %d sessions and derive them here (up to %.1f MB)", m.Partial.Of,
		float64(m.Bundle.BytesMissing())/1e6)
	return part.Add(
		tree.El("p class=buttons").Keyed("derive").Add(button(app.DoDerive, label, true)),
		tree.El("p class=quiet").AddText("Anything that you change below fetches them too. "+
			"Nothing leaves your browser."))
}
