package view

import (
	"fmt"
	"strings"

	"soletrial/pipeline/figure"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// Page returns the whole explorer.
func Page(m *app.Model) []*tree.Node {
	return []*tree.Node{
		answerSection(m),
		tree.El("div class=explorer-columns").Keyed("columns").Add(
			controls(m),
			tree.El("div class=explorer-results").Add(comparisonSection(m), sessionSection(m)),
		),
		ownSection(m),
		proofSection(m),
	}
}

// Status returns the sentence for the page's status line, which screen readers
// read out when it changes.
func Status(m *app.Model) string {
	if m.Fetching != "" {
		return m.Fetching
	}
	if m.Notice != "" {
		return m.Notice
	}
	if m.OwnNotice() != "" {
		return m.OwnNotice()
	}
	if !m.Bundle.Complete() {
		return "As published, not yet derived here. " + ProofStatus(m) + storeNote(m)
	}
	if !m.Choice().Changed() {
		return ProofStatus(m) + storeNote(m)
	}
	return "Yours, not the published reading: " + m.Summary() + ". " + m.Yours().Compare.Verdict.Headline
}

// ProofStatus says whether the tables made here are the published ones, or how far that
// is known.
func ProofStatus(m *app.Model) string {
	if !m.Bundle.Complete() {
		return partialStatus(m)
	}
	differing := m.Check.Differing()
	if m.AnswerDiffers {
		return fmt.Sprintf("Recomputed here: the answer that this site shows first, “%s”, is not the one derived "+
			"from its files; %d of %d tables differ from the published ones.",
			figure.Visible(m.Bundle.Index.Answer.Headline), len(differing), len(m.Check))
	}
	if len(differing) == 0 {
		return fmt.Sprintf("Recomputed here: identical to the published tables (%d tables recomputed here from %d "+
			"files).", len(m.Check), len(m.Bundle.Files))
	}
	names := make([]string, len(differing))
	for i, t := range differing {
		names[i] = t.Name
	}
	return fmt.Sprintf("Recomputed here: %d of %d tables differ from the published ones: %s. See “Proof” below.",
		len(differing), len(m.Check), strings.Join(names, ", "))
}

// storeNote says what the browser's store has to do with what is shown; "" for nothing.
func storeNote(m *app.Model) string {
	switch {
	case m.Bundle.Offline:
		return " The site could not be reached: this is the copy that your browser kept."
	case !m.Persistent:
		return " Your browser keeps nothing for this site, so a reload needs a connection."
	}
	return ""
}

// section opens a part of the page with its heading.
func section(id, title string) *tree.Node {
	heading := tree.El("h2").Set("id", id+"-title").AddText(title)
	return tree.El("section").Keyed(id).Set("aria-labelledby", id+"-title").Add(heading)
}

// answerSection says which answer is shown, the published one or the reader's, and
// its headline.
func answerSection(m *app.Model) *tree.Node {
	if !m.Bundle.Complete() {
		return underivedAnswer(m)
	}
	published := m.Published().Compare.Verdict.Headline
	if !m.Choice().Changed() {
		return section("stand", "As published").Class("reading published").Add(
			tree.El("p").AddText(published),
			tree.El("p class=quiet").AddText("Change anything below: the analysis runs again in your browser, "+
				"and your result stands beside the published one. Nothing leaves your browser."),
		)
	}
	return section("stand", "Yours, not the published reading").Class("reading yours").Add(
		tree.El("p").AddText("Changed: "+m.Summary()+"."),
		tree.El("dl").Add(
			tree.El("dt").AddText("Published"), tree.El("dd").AddText(published),
			tree.El("dt").AddText("Yours"), tree.El("dd id=yours-headline").AddText(m.Yours().Compare.Verdict.Headline),
		),
		tree.El("p").Add(tree.El("a").Set("href", "#"+m.Choice().Fragment()).AddText("Link to this reading")),
	)
}
