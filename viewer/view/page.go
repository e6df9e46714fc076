package view

import (
	"fmt"
	"strings"

	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// Page returns the whole explorer.
func Page(m *app.Model) []*tree.Node {
	return []*tree.Node{
		stand(m),
		tree.El("div", tree.Key("columns"), tree.A("class", "explorer-columns"),
			controls(m),
			tree.El("div", tree.Key("results"), tree.A("class", "explorer-results"), comparison(m), session(m)),
		),
		proof(m),
	}
}

// Status returns the sentence for the page's status line, which screen readers
// read out when it changes.
func Status(m *app.Model) string {
	if m.Notice != "" {
		return m.Notice
	}
	if !m.Choice().Changed() {
		return Proven(m) + kept(m)
	}
	return "Yours, not the published reading: " + m.Summary() + ". " + m.Yours().Compare.Verdict.Headline
}

// Proven says whether the tables made here are the published ones.
func Proven(m *app.Model) string {
	differing := m.Check.Differing()
	if len(differing) == 0 {
		return fmt.Sprintf("Recomputed here: identical to the published tables (%d tables recomputed here from %d files).", len(m.Check), len(m.Bundle.Files))
	}
	names := make([]string, len(differing))
	for i, t := range differing {
		names[i] = t.Name
	}
	return fmt.Sprintf("Recomputed here: %d of %d tables differ from the published ones: %s. See “Proof” below.", len(differing), len(m.Check), strings.Join(names, ", "))
}

func kept(m *app.Model) string {
	switch {
	case m.Bundle.Offline:
		return " The site could not be reached: this is the copy that your browser kept."
	case !m.Lasting:
		return " Your browser keeps nothing for this site, so a reload needs a connection."
	}
	return ""
}

// stand says which reading is shown, published or the reader's, and the verdicts.
func stand(m *app.Model) *tree.Node {
	changed := m.Choice().Changed()
	section := tree.El("section", tree.Key("stand"), tree.A("aria-labelledby", "stand-title"))
	if !changed {
		tree.Parts{
			tree.A("class", "reading published"),
			tree.El("h2", tree.A("id", "stand-title"), tree.Text("As published")),
			tree.El("p", tree.Text(m.Published().Compare.Verdict.Headline)),
			tree.El("p", tree.A("class", "quiet"), tree.Text("Change anything below: the analysis runs again in your browser, and your result stands beside the published one. Nothing leaves your browser.")),
		}.AddTo(section)
		return section
	}
	tree.Parts{
		tree.A("class", "reading yours"),
		tree.El("h2", tree.A("id", "stand-title"), tree.Text("Yours, not the published reading")),
		tree.El("p", tree.Text("Changed: "+m.Summary()+".")),
		tree.El("dl",
			tree.El("dt", tree.Text("Published")), tree.El("dd", tree.Text(m.Published().Compare.Verdict.Headline)),
			tree.El("dt", tree.Text("Yours")), tree.El("dd", tree.A("id", "yours-headline"), tree.Text(m.Yours().Compare.Verdict.Headline)),
		),
		tree.El("p", tree.El("a", tree.A("href", "#"+m.Choice().Fragment()), tree.Text("Link to this reading"))),
	}.AddTo(section)
	return section
}
