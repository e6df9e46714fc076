package tree

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"soletrial/pipeline/figure"
)

func TestChanges(t *testing.T) {
	for name, c := range map[string]struct {
		old, next string
		want      []Change
		ok        bool
	}{
		"the same": {`<svg a="1"><g/></svg>`, `<svg a="1"><g/></svg>`, nil, true},
		"attributes": {`<svg a="1"><g b="2" c="3"/><g d="4"/></svg>`,
			`<svg a="1"><g b="2" c="&lt;&#34;&amp;lt;"/><g d="5"/></svg>`, []Change{{1, "c", `<"&lt;`}, {2, "d", "5"}},
			true},
		"a text": {`<svg><text x="1">old</text><g e="1"></g></svg>`,
			`<svg><text x="1">a &amp; b</text><g e="2"></g></svg>`, []Change{{1, "", "a & b"}, {2, "e", "2"}}, true},
		"another element":    {`<svg><g/></svg>`, `<svg><h/></svg>`, nil, false},
		"another attribute":  {`<svg><g a="1"/></svg>`, `<svg><g b="1"/></svg>`, nil, false},
		"one attribute more": {`<svg><g a="1"/></svg>`, `<svg><g a="1" b="1"/></svg>`, nil, false},
		"one element more":   {`<svg><g/></svg>`, `<svg><g/><g/></svg>`, nil, false},
		"a text after an element": {`<svg><text><title>t</title>old</text></svg>`,
			`<svg><text><title>t</title>new</text></svg>`, nil, false},
		"a text where none was":    {`<svg><text></text></svg>`, `<svg><text>new</text></svg>`, nil, false},
		"open where it was closed": {`<svg><g a="1"/></svg>`, `<svg><g a="1"></svg>`, nil, false},
		"a figure where none was":  {``, `<svg></svg>`, nil, false},
		"no figure where one was":  {`<svg></svg>`, ``, nil, false},
		"cut off":                  {`<svg a="1`, `<svg a="2`, nil, false},
		"an equals sign in a value": {`<svg><g a="x b=" c="1"/></svg>`, `<svg><g a="x b=" c="2"/></svg>`,
			[]Change{{1, "c", "2"}}, true},
	} {
		got, ok := Diff(c.old, c.next)
		if ok != c.ok || ok && cmp.Diff(got, c.want) != "" {
			t.Errorf("%s: %v %v, want %v %v", name, got, ok, c.want, c.ok)
		}
	}
}

// moved is a ranking as it changes while a reader drags.
func moved(by float64, label string) string {
	f := figure.Ranking{Head: figure.Head{ID: "r", Title: "Speed", Desc: "Moved"}, Axis: "percent", Unit: "%",
		Decimals: 2, Rows: []figure.RankingRow{
			{Label: "A  Ash", Reference: true, Estimate: figure.Estimate{}},
			{Label: label, Shoe: 1, Estimate: figure.Estimate{Value: 1 + by, Low: 0.5 + by, High: 1.5 + by}},
		}}
	return string(f.SVG(figure.Wide))
}

// A figure of the explorer that moves a little is changed in place, another one is
// set anew.
func TestChangesOfAFigure(t *testing.T) {
	changes, ok := Diff(moved(0, "B  Birch"), moved(0.05, "B  Birch"))
	if !ok || len(changes) == 0 || len(changes) > 20 {
		t.Errorf("a ranking that moves a little: %v, %d changes", ok, len(changes))
	}
	if changes, ok := Diff(moved(0, "B  Birch"), moved(0, "B  <Beech>")); !ok || len(changes) != 1 ||
		changes[0].Name != "" || changes[0].Value != "B  <Beech>" {
		t.Errorf("another label: %v, %v", ok, changes)
	}
}

// FuzzChanges: whatever the texts, no panic, and what is said to be changed turns
// one into the other as far as a text can tell: a figure made from itself has no
// changes.
func FuzzChanges(f *testing.F) {
	seeds := []string{"", "<", "<>", "</", "text", `<svg a="1"><g/>x</svg>`, moved(0, "B"), moved(1, "C")}
	for _, a := range seeds {
		for _, b := range seeds {
			f.Add(a, b)
		}
	}
	if len(seeds) != 8 {
		f.Fatal("seeds are missing")
	}
	f.Fuzz(func(t *testing.T, a, b string) {
		if changes, ok := Diff(a, b); a == b && (len(changes) > 0 || !ok && len(a) > 2) {
			t.Errorf("%q made from itself: %v, %v", a, changes, ok)
		}
	})
}
