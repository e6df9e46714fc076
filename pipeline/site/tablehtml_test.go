package site

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/markup"
)

// Every cell is what its template makes of it; package markup holds templates to html/template.
func TestCellsAsTemplatesWriteThem(t *testing.T) {
	word := rapid.OneOf(rapid.SampledFrom([]string{"", "+1.2 %", "a\"b'c", "<b>&amp;", "\x00", "é \u00a0", "plain"}),
		rapid.String())
	address := rapid.OneOf(rapid.SampledFrom([]string{"", "#rule-gaps", "../shoes/a~20b.html", "a%20b.html",
		"https://example.org/?a=b&c=d", "javascript:alert(1)", "x y\"'"}), rapid.String())
	shoes := rapid.Custom(func(t *rapid.T) shoe {
		return shoe{Label: word.Draw(t, "label"), Letter: word.Draw(t, "letter"), Class: word.Draw(t, "class"),
			Href: address.Draw(t, "shoe's address"), Mark: markup.HTML("<svg></svg>")}
	})
	rapid.Check(t, func(t *rapid.T) {
		c := cell{Text: word.Draw(t, "text"), Href: address.Draw(t, "address"), Note: word.Draw(t, "note"),
			Other: word.Draw(t, "other"), Code: rapid.Bool().Draw(t, "code"),
			Shoes: rapid.SliceOfN(shoes, 0, 2).Draw(t, "shoes")}
		if rapid.Bool().Draw(t, "one shoe") {
			s := shoes.Draw(t, "shoe")
			c.Shoe = &s
		}
		var want, got strings.Builder
		if err := templates["data"].Write(&want, "cell", c); err != nil {
			t.Fatal(err)
		}
		if err := c.write(&got); err != nil || got.String() != want.String() {
			t.Fatalf("%q, want %q: %v", got.String(), want.String(), err)
		}
	})
}

func TestRowsOfCards(t *testing.T) {
	dense := table{Cards: true, Dense: true, Head: columns("Block", "#Speed, m/s"),
		Rows: [][]cell{{text("1"), numeric("4.06")}}}
	const wantDense = `<tr><th scope="row" class="short" data-label="Block">1</th>` +
		`<td class="number" data-label="Speed, m/s">4.06</td></tr>` + "\n"
	var rows strings.Builder
	if err := dense.WriteHTML(&rows); err != nil || rows.String() != wantDense {
		t.Errorf("%s, want %s: %v", rows.String(), wantDense, err)
	}
	list := table{Cards: true, Head: columns("Session", "#Blocks & more"),
		Rows: [][]cell{{link("7 March", "a.html"), numeric("8")}}}
	const want = `<tr><th scope="row" class="short"><a href="a.html">7 March</a></th>` +
		`<td class="number" data-label="Blocks &amp; more">8</td></tr>` + "\n"
	var got strings.Builder
	if err := list.WriteHTML(&got); err != nil || got.String() != want {
		t.Errorf("%s, want %s: %v", got.String(), want, err)
	}
}
