package view

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"soletrial/pipeline/checksum"
	"soletrial/viewer/app"
	"soletrial/viewer/internal/example"
	"soletrial/viewer/load"
	"soletrial/viewer/tree"
)

func opened(t *testing.T) *app.Model {
	t.Helper()
	bundle, err := example.Bundle()
	if err != nil {
		t.Fatal(err)
	}
	return reopened(t, bundle)
}

func reopened(t *testing.T, bundle *load.Bundle) *app.Model {
	t.Helper()
	m, err := app.Open(bundle, func(int, int) {})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// page is a whole page under one root, for looking things up.
func page(m *app.Model) *tree.Node { return tree.El("main").Add(Page(m)...) }

func find(n *tree.Node, match func(*tree.Node) bool) []*tree.Node {
	var found []*tree.Node
	n.Walk(func(n *tree.Node) {
		if match(n) {
			found = append(found, n)
		}
	})
	return found
}

func withAttr(name, value string) func(*tree.Node) bool {
	return func(n *tree.Node) bool {
		got, there := n.Attr(name)
		return there && (value == "*" || got == value)
	}
}

// one returns the only node with the given id.
func one(t *testing.T, n *tree.Node, id string) *tree.Node {
	t.Helper()
	found := find(n, withAttr("id", id))
	if len(found) != 1 {
		t.Fatalf("%d nodes have the id %q", len(found), id)
	}
	return found[0]
}

// use does what the control with the given id does, with a value.
func use(t *testing.T, m *app.Model, id, value string) {
	t.Helper()
	control := one(t, page(m), id)
	for _, event := range tree.Events {
		if action, there := control.Attr("data-" + event); there {
			m.Do(action, value)
			m.Recompute()
			return
		}
	}
	t.Fatalf("the control %q does nothing", id)
}

func TestStatus(t *testing.T) {
	m := opened(t)
	if got := Status(m); got != "Recomputed here, identical to the published tables (11 tables from "+
		"15 files). Your browser keeps nothing for this site, so a reload needs a connection." {
		t.Errorf("status %q", got)
	}
	m.Persistent = true
	if got := Status(m); !strings.HasSuffix(got, "(11 tables from 15 files).") {
		t.Errorf("status with a lasting store %q", got)
	}
	m.Bundle.Offline = true
	if got := Status(m); !strings.Contains(got, "the copy that your browser kept") {
		t.Errorf("status offline %q", got)
	}
	use(t, m, "trim-head_s", "150")
	if got := Status(m); !strings.HasPrefix(got,
		"Your version: trim at the start 150 s instead of 60 s. Your change ") {
		t.Errorf("status of a changed reading %q", got)
	}
	use(t, m, "trim-head_s", "x")
	if got := Status(m); got != m.Notice || got == "" {
		t.Errorf("status of a refused entry %q", got)
	}
}

func TestProof(t *testing.T) {
	bundle, err := example.Bundle()
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Replace(string(bundle.Derived["derived/blocks.csv"]), "arden", "<i>x", 1)
	bundle.Derived["derived/blocks.csv"] = []byte(text)
	m := reopened(t, bundle)
	if got := ProofStatus(m); got !=
		"Recomputed here, not identical: 1 of 11 tables differ from the published ones: blocks.csv." {
		t.Errorf("proven %q", got)
	}
	rows := find(one(t, page(m), "proof-table"), withAttr("class", "differs"))
	if len(rows) != 1 {
		t.Fatalf("%d tables are marked as differing", len(rows))
	}
	words := rows[0].TextContent()
	for _, want := range []string{"blocks.csv", stateTexts[app.Altered], "Line 2, published", "<i>x",
		"Line 2, made here", "arden", checksum.SHA256([]byte(text))} {
		if !strings.Contains(words, want) {
			t.Errorf("the proof lacks %q: %q", want, words)
		}
	}
}

func TestPublishedAndYours(t *testing.T) {
	m := opened(t)
	use(t, m, "plain", "true")
	rows := func() []*tree.Node {
		return find(one(t, page(m), "comparison-table"), func(n *tree.Node) bool {
			return n.Tag == "td" && slices.Contains(n.Attrs, tree.Attr{Name: "class", Value: "yours"})
		})
	}
	for _, cell := range rows() {
		if cell.TextContent() != "as published" {
			t.Errorf("before any change yours reads %q", cell.TextContent())
		}
	}
	if len(rows()) != len(m.Rows()) || len(rows()) < 3 {
		t.Errorf("%d rows for %d comparisons", len(rows()), len(m.Rows()))
	}
	use(t, m, "trim-head_s", "150")
	if got := rows()[0].TextContent(); !strings.Contains(got, "%") || strings.Contains(got, "as published") {
		t.Errorf("after a change yours reads %q", got)
	}
	if link := find(page(m), withAttr("href", "#comparisons=shown&head_s=150")); len(link) != 1 {
		t.Error("there is no link to the changed reading")
	}
	use(t, m, "trim-head_s", "")
	use(t, m, "choose-session", example.First)
	use(t, m, "choose-reference", "birk")
	if got := rows()[0].TextContent(); !strings.HasSuffix(got, ", unchanged") {
		t.Errorf("another reference shoe alone: yours reads %q", got)
	}
	use(t, m, "block-2", "false")
	moved := find(one(t, page(m), "blocks-table"), withAttr("class", "moved"))
	if len(moved) != 1 || moved[0].Key != "2" {
		t.Errorf("%d rows are marked as moved", len(moved))
	}
	use(t, m, "do-reset", "")
	if got := rows()[0].TextContent(); got != "as published" {
		t.Errorf("after going back yours reads %q", got)
	}
}

func TestEveryControlDoesSomething(t *testing.T) {
	m := opened(t)
	use(t, m, "choose-session", example.First)
	use(t, m, "block-2", "false")
	use(t, m, "channel-power_w", "false")
	use(t, m, "choose-reference", "birk")
	use(t, m, "choose-answer-outcome", "speed")
	use(t, m, "trim-tail_s-slider", "45")
	want := "session=" + example.First + "&channels=speed_mps&outcome=speed&tail_s=45&reference=birk&out=" +
		example.First + "/2"
	if got := m.Choice().Fragment(); got != want {
		t.Errorf("the controls lead to %q, want %q", got, want)
	}
	chosen := find(one(t, page(m), "choose-reference"), withAttr("selected", ""))
	if len(chosen) != 1 || chosen[0].TextContent() != "Birk" {
		t.Errorf("%d shoes are shown as the reference", len(chosen))
	}
	if most, _ := one(t, page(m), "trim-head_s-slider").Attr("max"); most != "300" {
		t.Errorf("the slider goes to %s s, not to the longest block", most)
	}
	if value, _ := one(t, page(m), "trim-tail_s").Attr("value"); value != "45" {
		t.Errorf("the field beside the slider reads %q", value)
	}
	use(t, m, "do-undo", "")
	if got := m.Choice().Fragment(); strings.Contains(got, "tail_s") {
		t.Errorf("undo leads to %q", got)
	}
}

// WCAG 2.2, success criteria 1.3.1, 2.4.6 and 4.1.2: every control has a name,
// ids are unique, references lead somewhere, table headings have a scope.
func TestControlsHaveNames(t *testing.T) {
	m := opened(t)
	use(t, m, "choose-session", example.First)
	root := page(m)
	ids := map[string]int{}
	for _, n := range find(root, withAttr("id", "*")) {
		id, _ := n.Attr("id")
		ids[id]++
		if ids[id] > 1 {
			t.Errorf("the id %q is there %d times", id, ids[id])
		}
	}
	labelled := map[string]bool{}
	for _, n := range find(root, withAttr("for", "*")) {
		target, _ := n.Attr("for")
		labelled[target] = true
	}
	inLabel := map[*tree.Node]bool{}
	for _, label := range find(root, func(n *tree.Node) bool { return n.Tag == "label" }) {
		label.Walk(func(n *tree.Node) { inLabel[n] = true })
	}
	controls := find(root, func(n *tree.Node) bool {
		return n.Tag == "input" || n.Tag == "select" ||
			n.Tag == "button"
	})
	if len(controls) < 15 {
		t.Fatalf("only %d controls", len(controls))
	}
	for _, n := range controls {
		id, _ := n.Attr("id")
		if _, named := n.Attr("aria-label"); !named && !labelled[id] && !inLabel[n] && n.TextContent() == "" {
			t.Errorf("the control %q has no name", id)
		}
	}
	for _, name := range []string{"for", "aria-labelledby", "aria-describedby"} {
		for _, n := range find(root, withAttr(name, "*")) {
			if target, _ := n.Attr(name); ids[target] != 1 {
				t.Errorf("%s=%q leads nowhere", name, target)
			}
		}
	}
	for _, n := range find(root, func(n *tree.Node) bool { return n.Tag == "th" }) {
		if _, scoped := n.Attr("scope"); !scoped {
			t.Errorf("the heading %q has no scope", n.TextContent())
		}
	}
}

// placed is the only style that a tree may set: where something is along a lens.
var placed = regexp.MustCompile(`^left:-?[0-9.]+%;width:[0-9.]+%(;top:[0-9.]+%;height:[0-9.]+%)?$`)

// The tree is all that a browser gets: no markup from the dataset may be in it
// but as text, and nothing that a strict content security policy forbids.
func TestHostileLabelsStayText(t *testing.T) {
	m := opened(t)
	use(t, m, "choose-session", example.First)
	root := page(m)
	seen := false
	root.Walk(func(n *tree.Node) {
		seen = seen || strings.Contains(n.Text, "<b>&amp;</b>")
		if strings.Contains(n.SVG, "<b>") || strings.Contains(n.SVG, " style=") || strings.Contains(n.SVG, "<style") ||
			strings.Contains(n.SVG, "<script") {
			t.Errorf("a figure holds markup that is not ours: %.300s", n.SVG)
		}
		for _, a := range n.Attrs {
			if a.Name == "style" && !placed.MatchString(a.Value) || strings.HasPrefix(a.Name, "on") ||
				strings.Contains(a.Name, "<") {
				t.Errorf("the attribute %q is not allowed", a.Name)
			}
		}
	})
	if !seen {
		t.Error("the label that looks like markup is not shown as it stands")
	}
}

func TestEmptyDataset(t *testing.T) {
	bundle, err := example.Publish(load.Folder{
		"dataset.yaml": []byte("{}"), "dataset.json": []byte(`{"title": "Nothing yet"}`),
		"runners.csv": []byte("id,label\nr1,Runner\n"), "shoes.csv": []byte("id,label\na,A\n"),
	})
	if err != nil {
		t.Fatal(err)
	}
	if words := page(reopened(t, bundle)).TextContent(); !strings.Contains(words, "This dataset has no session yet.") {
		t.Errorf("an empty dataset shows %q", words)
	}
}

func TestSessionByHand(t *testing.T) {
	m := opened(t)
	use(t, m, "choose-session", example.ByHand)
	root := page(m)
	if words := root.TextContent(); !strings.Contains(words,
		"No recording: the block means were typed in.") {
		t.Error("a session without recordings does not say so")
	}
	if rows := find(one(t, root, "blocks-table"),
		func(n *tree.Node) bool { return n.Tag == "input" }); len(rows) != example.Blocks {
		t.Errorf("%d blocks can be put in or out", len(rows))
	}
}
