package view

import (
	"fmt"
	"slices"
	"strings"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/figure"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// Page returns the whole explorer.
func Page(m *app.Model) []*tree.Node {
	said := m.Said()
	return []*tree.Node{
		answerSection(m, said),
		tree.El("div class=explorer-columns").Keyed("columns").Add(figureSection(m, said.Size), controls(m)),
		trySection(m),
		sessionSection(m),
		comparisonsSection(m),
		ownSection(m),
	}
}

// Status returns the sentence for the page's status line, which screen readers
// read out when it changes.
func Status(m *app.Model) string {
	switch {
	case m.Fetching != "":
		return m.Fetching
	case m.Failed != "":
		return m.Failed
	case m.Notice != "":
		return m.Notice
	case m.OwnNotice() != "":
		return m.OwnNotice()
	case m.Changed():
		return "Your version: " + m.Summary() + ". " + effect(m) + quickNote(m) + " " + m.Said().Headline()
	}
	return ProofStatus(m) + storeNote(m)
}

// effect says once what the reader's change does to the answer.
func effect(m *app.Model) string {
	switch {
	case m.Yours() == m.Published():
		return "Its effect is shown once the sums are loaded."
	case nothingLeft(m) != "":
		return nothingLeft(m)
	case m.SameAnswer():
		return "Your change does not alter the answer."
	}
	return "Your change alters the answer."
}

// nothingLeft says where nothing can be compared any more; "" where something can.
func nothingLeft(m *app.Model) string {
	var at []string
	for _, s := range m.PublishedStandings() {
		left := false
		for _, yours := range m.Standings() {
			left = left || yours.Effort == s.Effort && len(yours.Shoes) > 0
		}
		words := s.Effort.Same()
		if !left && len(s.Shoes) > 0 && !slices.Contains(at, words) {
			at = append(at, words)
		}
	}
	if len(at) == 0 {
		return ""
	}
	return "Nothing is left to compare at " + strings.Join(at, " and ") + "."
}

// quickNote says that an answer is from the sums; "" where it is not.
func quickNote(m *app.Model) string {
	if !m.FromSums() {
		return ""
	}
	checked := ""
	if m.PublishedBlocked() { // the sums cannot tell again
		checked = " No answer was published, because a sensor could have made it; that is checked again with the " +
			"samples."
	}
	if m.Failed != "" || !m.CanBeExact() {
		return " From 5-second sums, close to the exact result." + checked
	}
	return " From 5-second sums; exact in a moment." + checked
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

// answerSection says which answer is shown, the published one or the reader's, what
// changed, and how far it is proved.
func answerSection(m *app.Model, said answer.Sentences) *tree.Node {
	title, class := "Published answer", "reading published"
	if m.Changed() {
		title, class = "Your version", "reading yours"
	}
	if named := m.Choice().Title; named != "" {
		title += ": “" + figure.Visible(named) + "”"
	}
	var words []string
	evidence := said.Evidence
	if evidence == "" && m.FromSums() { // its place is kept, so that nothing below moves
		evidence = "Evidence: once all samples are here."
	}
	for _, sentence := range []string{said.Advice, said.Claim, said.Also, evidence} {
		if sentence != "" {
			words = append(words, sentence)
		}
	}
	part := section("stand", title).Class(class).Add(
		tree.El("p class=headline id=headline").Keyed("headline").AddText(strings.Join(words, " ")))
	return part.Add(failure(m), proof(m))
}

// changeNote says beside the control what the reader's change does. It is always there, and
// below the control, so that nothing moves under the hand when it comes.
func changeNote(m *app.Model) *tree.Node {
	note := tree.El("p class=effect id=effect").Keyed("effect")
	if !m.Changed() {
		return note.AddText("Nothing is changed yet: this is the published answer.")
	}
	note.Add(tree.El("strong").AddText(effect(m)), tree.Text(quickNote(m)+" Changed: "+m.Summary()+"."))
	if m.Yours() != m.Published() && !m.SameAnswer() {
		note.Add(tree.El("span class=quiet").Keyed("was").AddText(" Published: " + m.PublishedSaid().Headline()))
	}
	return note
}

// failure says what could not be fetched, with the way to try again; nil for nothing.
func failure(m *app.Model) *tree.Node {
	if m.Failed == "" {
		return nil
	}
	return tree.El("div class=notice id=failed").Keyed("failed").Add(tree.El("p").AddText(m.Failed),
		tree.El("p class=buttons").Add(button(app.DoRetry, "Try again", true)))
}

// fetchAll is the way to have everything recomputed here where that is not done by itself; nil
// where it is.
func fetchAll(m *app.Model) *tree.Node {
	if m.Bundle.Complete() || m.CanBeExact() && m.Failed == "" && !m.WantAll {
		return nil
	}
	if m.WantAll {
		return tree.El("p class=buttons").Keyed("stop").Add(button(app.DoStop, "Stop fetching", true),
			tree.El("span class=quiet").AddText(m.Fetching))
	}
	label := fmt.Sprintf("Fetch all %d sessions and recompute them here (up to %.1f MB)", m.Partial.Of,
		float64(m.Bundle.BytesMissing())/1e6)
	return tree.El("p class=buttons").Keyed("derive").Add(button(app.DoDerive, label, true))
}
