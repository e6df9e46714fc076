package summary

import (
	"encoding/xml"
	"strings"
	"testing"
	"unicode/utf8"
)

// full is a summary in which every part is there.
func full() Summary {
	return Summary{
		Title: "Two <shoes>", Invented: "Invented data: a demonstration.", Answer: "Race in Alder.",
		Columns: []string{"Shoe", "Chance it is fastest", "Alder faster by"},
		Rows:    [][]string{{"Alder", "98 %", "-"}, {"Birch | Co", "2 %", "+1.0 % (+0.2 to +1.8 %)"}},
		Tested:  []string{"1 runner.", "It was lower."}, Doubts: []string{"A sensor."}, Stronger: []string{"Run more."},
		Disclosure: "Bought.", Caution: "Take care.", Address: "https://example.org/", Cite: "Me: Two shoes.",
	}
}

func TestTextHasEveryPartInOrder(t *testing.T) {
	want := `Two <shoes>

Invented data: a demonstration.

Race in Alder.

Shoe; Chance it is fastest; Alder faster by:
Alder: 98 %
Birch | Co: 2 %; +1.0 % (+0.2 to +1.8 %)

How it was tested:
- 1 runner.
- It was lower.

Doubts:
- A sensor.

What would make it stronger:
- Run more.

Disclosure:
Bought.

Before you try this yourself:
Take care.

Every number:
https://example.org/

How to cite:
Me: Two shoes.
`
	if got := full().Text(); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// What has a meaning in Markdown or HTML is taken as text.
func TestMarkupIsEscaped(t *testing.T) {
	markdown := full().Markdown()
	for _, want := range []string{"## Two \\<shoes\\>\n", "| Birch \\| Co | 2 % |", "- A sensor.\n"} {
		if !strings.Contains(markdown, want) {
			t.Errorf("no %q in\n%s", want, markdown)
		}
	}
	html := full().HTML()
	if err := xml.Unmarshal([]byte(html), new(struct{})); err != nil {
		t.Errorf("not well formed: %v\n%s", err, html)
	}
	if !strings.Contains(html, "<h2>Two &lt;shoes&gt;</h2>") || !strings.Contains(html, "<bdi>Birch | Co</bdi>") {
		t.Error(html)
	}
}

func TestShortIsShort(t *testing.T) {
	long := full()
	long.Rows = append(long.Rows, long.Rows[1], long.Rows[1], long.Rows[1])
	long.Tested = append(long.Tested, strings.Repeat("tested ", 100))
	long.Doubts = append(long.Doubts, strings.Repeat("doubt ", 100))
	long.Disclosure = strings.Repeat("lent ", 200)
	endless := long
	endless.Answer, endless.Title = strings.Repeat("Race in Alder. ", 200), strings.Repeat("é", 3000)
	for name, s := range map[string]Summary{"full": full(), "long": long, "endless": endless} {
		text := s.Short().Text()
		if n := utf8.RuneCountInString(text); n > ShortLength {
			t.Errorf("%s: %d characters", name, n)
		}
		for _, stays := range strings.Split("Race in Alder.|Invented data|Take care.|https://example.org/|98 %", "|") {
			if !strings.Contains(text, stays) {
				t.Errorf("%s: no %q in\n%s", name, stays, text)
			}
		}
	}
	if len(long.Rows) != 5 || len(long.Doubts) != 2 {
		t.Error("Short changed what it shortened")
	}
}
