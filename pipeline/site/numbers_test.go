package site

import (
	"html"
	"regexp"
	"slices"
	"strings"
	"testing"
)

var (
	tablePattern  = regexp.MustCompile(`(?s)<table(?: class="cards[^"]*")?>.*?</table>`)
	headPattern   = regexp.MustCompile(`(?s)<th scope="col"( class="number")?>(.*?)</th>`)
	rowPattern    = regexp.MustCompile(`(?s)<tr><th scope="row".*?</tr>`)
	cellPattern   = regexp.MustCompile(`(?s)<t[hd][^>]*>(.*?)</t[hd]>`)
	figurePattern = regexp.MustCompile(`(?s)<svg [^>]*class="figure[^>]*aria-labelledby="([^" ]+) ([^" ` +
		`]+)"[^>]*><title id="([^"]+)">(.*?)</title><desc id="([^"]+)">(.*?)</desc>`)
)

// pure are the numbers that have no unit: counts, ratios and probabilities.
var pure = []string{"Blocks", "Sessions", "Blocks included", "Files", "Degrees of freedom", "p, adjusted for all pairs",
	"Ratio",
	"Standard deviation", "95 % of blocks between"}

// unitHeading is a heading that names the unit of its column, unitCell a cell that
// does, or says in words why there is no number.
var (
	unitHeading = regexp.MustCompile(
		`(, |: )(s|m/s|W|%|bpm|1/km|J/kg/m|steps/min|m|ms|cm|kN/m|mL/kg/min|points|mm|min|min:s|min:s per km)$|` +
			`0 to 10(0 mm)?|min:s|, mm|points|Independent samples of`)
	unitCell = regexp.MustCompile(`\d\s(%|g|km|kB|MB|B|mm|EU|W|bpm|s|m/s|points|[A-Z]{3})\b|\d\s%|^[a-z][a-z ,]+$|^$`)
)

// Every number in a table has its unit, in the heading or beside it.
func TestEveryNumberHasItsUnit(t *testing.T) {
	numbers := 0
	for p, text := range pages(built()["full"]) {
		for _, table := range tablePattern.FindAllString(text, -1) {
			heads := headPattern.FindAllStringSubmatch(table, -1)
			for _, row := range rowPattern.FindAllString(table, -1) {
				cells := cellPattern.FindAllStringSubmatch(row, -1)
				if len(cells) != len(heads) {
					t.Fatalf("%s: %d cells under %d headings: %s", p, len(cells), len(heads), row)
				}
				for i, head := range heads {
					name, cell := html.UnescapeString(head[2]),
						strings.ReplaceAll(html.UnescapeString(plain(">"+cells[i][1])), "\u00a0", " ")
					if head[1] == "" || slices.Contains(pure, name) {
						continue
					}
					numbers++
					if !unitHeading.MatchString(name) && !unitCell.MatchString(strings.TrimSpace(cell)) {
						t.Errorf("%s: %q under %q has no unit", p, cell, name)
					}
				}
			}
		}
	}
	if numbers < 500 {
		t.Errorf("only %d numbers", numbers)
	}
}

// Every figure has a title and a description in words, and stands on a page that
// has a table.
func TestEveryFigureHasWordsAndATable(t *testing.T) {
	figures := 0
	for build, site := range built() {
		for p, text := range pages(site) {
			found := figurePattern.FindAllStringSubmatch(text, -1)
			if want := strings.Count(text, `<svg `) - strings.Count(text, `class="swatch`) -
				strings.Count(text, `class="chance`) - strings.Count(text, `class="shoe-mark`); len(found) < want-
				strings.Count(text, `<svg x="`) {
				t.Errorf("%s: %s: %d of %d figures have words", build, p, len(found), want)
			}
			for _, f := range found {
				figures++
				if f[1] != f[3] || f[2] != f[5] || len(f[4]) < 5 || len(f[6]) < 10 {
					t.Errorf("%s: %s: %q, %q", build, p, f[4], f[6])
				}
			}
			if len(found) > 0 && !strings.Contains(text, "<table") {
				t.Errorf("%s: %s has a figure and no table", build, p)
			}
		}
	}
	if figures < 150 {
		t.Errorf("only %d figures", figures)
	}
}
