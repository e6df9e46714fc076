package view

import (
	"fmt"
	"strconv"
	"strings"

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

// proofLine is the state of the proof in a few words, with its mark.
func proofLine(m *app.Model) (mark, words string) {
	switch {
	case !m.Bundle.Complete() && len(m.Partial.Differing) > 0:
		return "✗", "Not the published numbers"
	case !m.Bundle.Complete():
		return "○", "Published numbers, checked"
	case m.AnswerDiffers || len(m.Check.Differing()) > 0:
		return "✗", "Recomputed here, not identical"
	}
	return "✓", "Recomputed here, identical"
}

// ProofStatus says whether the tables made here are the published ones, or how far that
// is known.
func ProofStatus(m *app.Model) string {
	_, line := proofLine(m)
	if !m.Bundle.Complete() {
		return line + ". " + partialStatus(m)
	}
	differing := m.Check.Differing()
	if m.AnswerDiffers {
		return fmt.Sprintf("%s: this site shows “%s” first, and its files give another answer. %d of %d tables differ "+
			"from the published ones.",
			line, figure.Visible(m.Bundle.Index.Answer.Headline), len(differing), len(m.Check))
	}
	if len(differing) == 0 {
		return fmt.Sprintf("%s to the published tables (%d tables from %d files).", line, len(m.Check),
			len(m.Bundle.Files))
	}
	names := make([]string, len(differing))
	for i, t := range differing {
		names[i] = t.Name
	}
	return fmt.Sprintf("%s: %d of %d tables differ from the published ones: %s.",
		line, len(differing), len(m.Check), strings.Join(names, ", "))
}

// partialStatus says of how much the numbers were recomputed while not everything is there.
func partialStatus(m *app.Model) string {
	p := m.Partial
	rows := "whose rows in blocks.csv are the published ones"
	if len(p.Differing) > 0 {
		rows = "but these blocks are not the published ones: " + figure.Visible(strings.Join(p.Differing, ", "))
	}
	return fmt.Sprintf("The tables shown have the SHA-256 that the index gives. Recomputed here from the samples: "+
		"%d of %d sessions, %s; the rest as published.", p.Sessions, p.Of, rows)
}

// proof is the state of the proof in one line, which opens the details: every table with both
// hashes, so that anybody can check them with a program of their own.
func proof(m *app.Model) *tree.Node {
	mark, line := proofLine(m)
	summary := tree.El("summary id=proof-line").Add(
		tree.El("span aria-hidden=true class=mark").AddText(mark+" "), tree.Text(line))
	part := tree.El("details class=proof").Keyed("proof").Add(summary,
		tree.El("p").AddText(ProofStatus(m)+storeNote(m)))
	if !m.Bundle.Complete() {
		return part.Add(fetchAll(m), tree.El("p class=quiet").Keyed("once").AddText(
			"Once all sessions are here, every table is made again and compared with the published one, byte by byte.",
		))
	}

	// The tables, and what the store saved.
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
	visit := fmt.Sprintf("%d of %d files were kept from an earlier visit; every one was checked against its SHA-256.",
		m.Bundle.FromStore, len(m.Bundle.Index.Files)+len(m.Bundle.Index.Derived))
	return part.Add(
		tree.El("p class=quiet").Keyed("visit").AddText(visit),
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
