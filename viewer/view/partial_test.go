package view

import (
	"maps"
	"strings"
	"testing"

	"soletrial/pipeline/answer"
	"soletrial/viewer/app"
	"soletrial/viewer/internal/example"
	"soletrial/viewer/load"
	"soletrial/viewer/tree"
)

// answering is the example opened with its published answer and one session.
func answering(t *testing.T) *app.Model {
	t.Helper()
	bundle, err := example.Bundle()
	if err != nil {
		t.Fatal(err)
	}
	whole := reopened(t, bundle)
	said := answer.NewSpeaker(whole.Published().Dataset, whole.Published().Answers).Top()
	bundle.Index.Answer = &load.Answer{Headline: said.Headline(), Sessions: whole.LoadedSessions()}
	part := *bundle
	part.Files = maps.Clone(bundle.Files)
	maps.DeleteFunc(part.Files, func(path string, _ []byte) bool {
		return strings.HasPrefix(path, "sessions/") && !strings.HasPrefix(path, "sessions/"+example.Second+"/")
	})
	return reopened(t, &part)
}

// Where nothing is left at the answer's effort, the published figure keeps its place, with its
// marks as alternatives, and the other efforts follow.
func TestNothingLeftKeepsTheFigure(t *testing.T) {
	m := opened(t)
	use(t, m, "trim-head_s", "290")
	words := page(m).TextContent()
	if !strings.Contains(words, "nothing left, the published answer for comparison") ||
		!strings.Contains(words, "Nothing is left to compare at the same power.") {
		t.Errorf("the page reads %.600q", words)
	}
	svg := ""
	find(page(m), func(n *tree.Node) bool { return n.Tag == "figure" })[0].Walk(func(n *tree.Node) { svg += n.SVG })
	if strings.Count(svg, `class="alternative"`) < 1 || !strings.Contains(svg, "not compared") {
		t.Errorf("the first figure is %.400q", svg)
	}
}

// What is not derived here is never said to be.
func TestUnderivedAnswer(t *testing.T) {
	m := answering(t)
	const said = "Recomputed here from the samples: 1 of 3 sessions, " +
		"whose rows in blocks.csv are the published ones; the rest as published."
	if got := Status(m); !strings.HasPrefix(got,
		"Published numbers, checked. The tables shown have the SHA-256 that the index gives. "+said) {
		t.Errorf("status %q", got)
	}
	words := page(m).TextContent()
	for _, part := range []string{"Published numbers, checked", said} {
		if !strings.Contains(words, part) {
			t.Errorf("the page lacks %q", part)
		}
	}
	if strings.Contains(words, "identical") {
		t.Error("the page says more than is known")
	}
	if options := one(t, page(m), "choose-session").Children; len(options) != 3 {
		t.Errorf("%d sessions can be chosen", len(options))
	}
	m.Fetching = "Loading file 1 of 9, 0.0 of 0.1 MB…"
	if got := Status(m); got != m.Fetching {
		t.Errorf("status while fetching %q", got)
	}
	m.WantAll = true
	one(t, page(m), "do-stop")
	m.WantAll, m.Failed = false, "foot_sensor.csv cannot be fetched."
	if got := Status(m); m.Fetching == "" && got != m.Failed {
		t.Errorf("status after a failure %q", got)
	}
	one(t, page(m), "do-retry")
	if words := one(t, page(m), "do-derive").TextContent(); words !=
		"Fetch all 3 sessions and recompute them here (up to 0.0 MB)" {
		t.Errorf("the button reads %q", words)
	}
	m.Failed = ""
	m.Fetching, m.Partial.Differing = "", []string{"a/1", "a/2"}
	if got := ProofStatus(m); !strings.Contains(got,
		"1 of 3 sessions, but these blocks are not the published ones: a/1, a/2; the rest as published.") {
		t.Errorf("proven %q", got)
	}
}

// An answer in the index that is not the derived one is named as soon as that is known.
func TestDifferingAnswerIsNamed(t *testing.T) {
	bundle, err := example.Bundle()
	if err != nil {
		t.Fatal(err)
	}
	bundle.Index.Answer = &load.Answer{Headline: "Birk wins.", Sessions: []string{example.First}}
	if got := ProofStatus(reopened(t, bundle)); !strings.Contains(got,
		"this site shows “Birk wins.” first, and its files give another answer. 0 of 11 tables differ") {
		t.Errorf("proven %q", got)
	}
}

// A box stays as the reader left it while the samples that answer are still on their way.
func TestBoxOfABlockStaysAsTheReaderLeftIt(t *testing.T) {
	m := answering(t)
	m.Do(app.DoSession, example.Second)
	if _, ticked := one(t, page(m), "block-1").Attr("checked"); !ticked {
		t.Fatal("block 1 is published as included, and its box is not ticked")
	}
	use(t, m, "block-1", "false")
	if _, ticked := one(t, page(m), "block-1").Attr("checked"); ticked {
		t.Error("the box is ticked again before the samples are there")
	}
	one(t, page(m), "reason-1")
	use(t, m, "block-1", "true")
	if _, ticked := one(t, page(m), "block-1").Attr("checked"); !ticked {
		t.Error("the box cannot be ticked again")
	}
}

// Once all samples are there, the box shows what counts: a block of a recording that is in the dataset
// twice stays out, whatever the reader asks for.
func TestBoxOfABlockShowsWhatCounts(t *testing.T) {
	bundle, err := example.Bundle()
	if err != nil {
		t.Fatal(err)
	}
	recording := func(session string) string { return "sessions/" + session + "/foot_sensor.csv" }
	bundle.Files[recording(example.Second)] = bundle.Files[recording(example.First)]
	if bundle, err = example.Publish(bundle.Files); err != nil {
		t.Fatal(err)
	}
	m, err := app.Open(bundle, func(int, int) {})
	if err != nil {
		t.Fatal(err)
	}
	m.Do(app.DoSession, example.Second)
	use(t, m, "block-1", "true")
	if m.Yours().Session(example.Second).Blocks[0].Included {
		t.Fatal("a block of a recording that is there twice counts")
	}
	if _, ticked := one(t, page(m), "block-1").Attr("checked"); ticked {
		t.Error("the box says that the block counts")
	}
}
