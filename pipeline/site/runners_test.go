package site

import (
	"encoding/hex"
	"html"
	"regexp"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
)

// rowsOf returns the cells of the rows of the table with the given caption.
func rowsOf(t testing.TB, page, caption string) [][]string {
	t.Helper()
	at := strings.Index(page, "<caption><span>"+caption)
	if at < 0 {
		t.Fatalf("no table %q", caption)
	}
	body, _, _ := strings.Cut(page[at:], "</table>")
	var rows [][]string
	for _, row := range strings.Split(body, "<tr>")[2:] {
		var cells []string
		for _, cell := range strings.Split(row, `scope="row"`) {
			for _, part := range strings.Split(cell, "<td") {
				cells = append(cells,
					strings.TrimSpace(strings.ReplaceAll(html.UnescapeString(plain(part)), "\u00a0", " ")))
			}
		}
		rows = append(rows, cells[1:])
	}
	return rows
}

// plain takes the markup out of a piece of a page.
func plain(text string) string {
	if _, after, cut := strings.Cut(text, ">"); cut {
		text = after
	}
	for {
		open := strings.IndexByte(text, '<')
		if open < 0 {
			return text
		}
		end := strings.IndexByte(text[open:], '>')
		if end < 0 {
			return text[:open]
		}
		text = text[:open] + text[open+end+1:]
	}
}

// With several runners, each one's own difference is shown, the mean, how much
// they differ, and what a runner who was not there may expect.
func TestRunnersAreShown(t *testing.T) {
	f := newFixture()
	f.ds.Runners = append(f.ds.Runners, trial.Runner{ID: "second", Label: "The other <runner>"})
	for _, i := range []int{1, 2} {
		f.ds.Sessions[i].Facts.Runner = "second"
	}
	in := f.input()
	site := publish(t, in)
	c := in.Result.Compare.Comparisons[0]
	for _, each := range in.Result.Compare.Comparisons {
		if each.Outcome == in.Result.Compare.Rankings[0].Outcome && each.Shoe == "kestrel" &&
			each.Reference == "harrow" {
			c = each
		}
	}
	if len(c.PerRunner) != 2 {
		t.Fatalf("%d runners' own estimates", len(c.PerRunner))
	}
	home := rowsOf(t, site["shoes/kestrel.html"], "Kestrel Longford Distance: runner by runner")
	own := map[string]string{}
	for _, row := range home {
		if strings.Contains(row[0], "Kestrel") && row[1] == "Harrow" && strings.HasPrefix(row[2], "speed") {
			own[row[3]] = row[4]
		}
	}
	want := strings.ReplaceAll(difference(estimateOf(&c), c.Outcome), "\u00a0", " ")
	if own["all of them, the mean"] != want || own["The runner"] == "" || own["The other <runner>"] == "" ||
		own["The runner"] == own["The other <runner>"] {
		t.Errorf("%v, want the mean %s", own, want)
	}
	if got := own["a new runner, 95 % prediction"]; !strings.HasSuffix(got, " %") ||
		!strings.Contains(got, " to ") {
		t.Errorf("prediction %q", got)
	}
	if !strings.HasSuffix(own["how much runners differ, standard deviation"], " %") {
		t.Errorf("spread %q", own["how much runners differ, standard deviation"])
	}
	shoe := rowsOf(t, site["shoes/kestrel.html"], "Kestrel Longford Distance: runner by runner")
	if len(shoe) < 5 || !strings.Contains(site["shoes/kestrel.html"], "runners&#39; own, pooled") {
		t.Errorf("the shoe's page has %d rows about runners", len(shoe))
	}
	if strings.Contains(built()["full"]["shoes/kestrel.html"], "runner by runner") {
		t.Error("one runner is shown as several")
	}
}

// A block whose shoe nobody named is never shown as one of the shoes.
func TestBlankShoeIsNoShoe(t *testing.T) {
	f := newFixture()
	f.ds.Shoes = f.ds.Shoes[:2]
	f.ds.Sessions = f.ds.Sessions[:1]
	f.ds.Sessions[0].Blocks[1].Shoe = ""
	for i := range f.ds.Sessions[0].Blocks {
		if b := &f.ds.Sessions[0].Blocks[i]; b.Shoe == "kestrel" {
			b.Shoe = "harrow"
		}
	}
	page := publish(t, f.input())["sessions/s1.html"]
	if strings.Contains(page, "shoe-2") || strings.Contains(page, ">C<") {
		t.Error("a block without a shoe is shown in the third shoe's colour or letter")
	}
	for _, need := range []string{`class="letter shoe-none" title="no shoe named">?</abbr>`, `<g class="shoe-none"`,
		`class="trace shoe-none"`, `class="letter">?</text>`, "block 2 in no shoe named"} {
		if !strings.Contains(page, need) {
			t.Errorf("the page lacks %s", need)
		}
	}
}

// unescape undoes the percent-encoding of RFC 3986, section 2.1.
func unescape(t *testing.T, link string) string {
	t.Helper()
	return regexp.MustCompile(`%[0-9A-Fa-f]{2}`).ReplaceAllStringFunc(link, func(code string) string {
		b, err := hex.DecodeString(code[1:])
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	})
}
