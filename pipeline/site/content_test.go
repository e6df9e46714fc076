package site

import (
	"html"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/english"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/quality"
	"soletrial/pipeline/units"
)

func TestHomeAnswersFirst(t *testing.T) {
	in := newFixture().input()
	home := publish(t, in)["index.html"]
	said := answer.NewSpeaker(in.Result.Dataset, in.Result.Answers).Top()
	if !strings.Contains(html.UnescapeString(home), ">"+nonBreaking(said.Advice)+"</h1>") {
		t.Errorf("the advice is not the main heading: %q", said.Advice)
	}
	if len(home) > 60_000 { // the budget of the home page without the explorer
		t.Errorf("the home page has %d bytes", len(home))
	}
	for _, need := range []string{"Invented data", "Before you try this yourself", "licensed clinician",
		`class="figure narrow"`, `class="figure wide"`, "over a marathon", "a marathon in 3:20:00",
		"1 runner, 6 sessions, 14 March to 14 August 2031", "What would make the evidence stronger"} {
		if !strings.Contains(home, need) {
			t.Errorf("the home page lacks %q", need)
		}
	}
	// The card has one grade marked, a row for each shoe, and what the speaker says.
	card, _, _ := strings.Cut(home, "</section>")
	if strings.Count(card, `<strong class="grade">`) != 1 || strings.Count(card, `class="chance `) != 4 ||
		!strings.Contains(html.UnescapeString(card), nonBreaking(said.Claim)) {
		t.Errorf("the card is %s", card)
	}
}

// The order is that of the design: the answer, by how much, my race, beyond speed, robustness,
// how it was tested, doubts, about.
func TestHomeOrder(t *testing.T) {
	home, at := built()["full"]["index.html"], 0
	for _, id := range []string{"answer", "figure", "race", "beyond", "robust", "tested", "doubts", "about",
		"cautions"} {
		next := strings.Index(home, `id="`+id+`"`)
		if next <= at {
			t.Errorf("%q stands at %d, after something at %d", id, next, at)
		}
		at = next
	}
}

// At most 40 numbers are unfolded, so that the answer is not lost among them.
func TestHomeIsNotANumberTable(t *testing.T) {
	home := built()["full"]["index.html"]
	_, home, _ = strings.Cut(home, `<main id="main">`)
	home, _, _ = strings.Cut(home, `<section id="cautions"`)
	for _, hidden := range []string{`(?s)<details>.*?</details>`, `(?s)<svg [^>]*class="figure wide.*?</svg>`,
		`(?s)<title.*?</title>`, `(?s)<desc.*?</desc>`, `(?s)<form.*?</form>`, `(?s)<caption.*?</caption>`,
		`(?s)<thead class="unseen.*?</thead>`, `<[^>]*>`} {
		home = regexp.MustCompile(hidden).ReplaceAllString(home, " ")
	}
	numbers := regexp.MustCompile(`[0-9][0-9:.,]*`).FindAllString(html.UnescapeString(home), -1)
	if len(numbers) > 40 || len(numbers) < 15 {
		t.Errorf("%d numbers: %q", len(numbers), numbers)
	}
}

// The words that once stood for answers are gone from every page.
func TestNoVerdicts(t *testing.T) {
	old := regexp.MustCompile(`(?i)told apart|verdict|beaten|which one for you|comes out ahead`)
	for p, text := range pages(built()["full"]) {
		if found := old.FindString(text); found != "" {
			t.Errorf("%s says %q", p, found)
		}
	}
}

// The same pair has the same numbers on the home page, its shoes' pages and in the list.
func TestOnePairEverywhere(t *testing.T) {
	in := newFixture().input()
	site := publish(t, in)
	s := newSite(in)
	e, g := s.speaker.Answers.Top()
	p := g.Lead
	sentence := html.EscapeString(nonBreaking(s.speaker.PairSentence(e, p)))
	for _, page := range []string{"shoes/" + pageName(p.Shoe), "shoes/" + pageName(p.Reference), "method.html"} {
		if !strings.Contains(site[page], sentence) {
			t.Errorf("%s lacks %q", page, sentence)
		}
	}
	for _, page := range []string{"robustness.html", "shoes/" + pageName(p.Reference)} {
		if !strings.Contains(html.UnescapeString(site[page]), interval(p.D)) {
			t.Errorf("%s lacks %q", page, interval(p.D))
		}
	}
}

// A direction is named only where the interval and the p value adjusted for all pairs allow it.
func TestNoDirectionWithoutEvidence(t *testing.T) {
	s := newSite(emptied())
	judged := compare.Comparison{Estimate: 2, Low: 0.1, High: 3.9, PAdjusted: 0.08}
	if got := s.differenceWords(&judged); got != "no clear difference" {
		t.Errorf("p = 0.08 adjusted for all pairs: %q", got)
	}
	for want, c := range map[string]compare.Comparison{
		"no clear difference":      {Estimate: 1, Low: -1, High: 3},
		"higher":                   {Estimate: 2, Low: 1, High: 3, PAdjusted: 0.01},
		"lower, by itself":         {Estimate: -2, Low: -3, High: -1, PAdjusted: units.Missing},
		"no interval":              {Estimate: 1, Low: units.Missing, High: units.Missing},
		"never run in one session": {Model: compare.NotComparable},
	} {
		if got := s.differenceWords(&c); got != want {
			t.Errorf("%+v: %q, want %q", c, got, want)
		}
	}
}

func TestEmptyStates(t *testing.T) {
	site := built()["empty"]
	for page, need := range map[string]string{
		"index.html": "No sessions yet", "shoes/index.html": "No shoes are registered yet",
		"sessions/index.html": "Nothing to show before two shoes",
		"explorer/index.html": "not part of this build", "data/index.html": "states no licence",
	} {
		if !strings.Contains(site[page], need) {
			t.Errorf("%s lacks %q", page, need)
		}
	}
	if strings.Contains(site["index.html"], "My race") {
		t.Error("a forecast of nothing is shown")
	}
}

func TestShoePage(t *testing.T) {
	site := built()["full"]
	page := site["shoes/kestrel.html"]
	// 231 g are 8.148 oz (international avoirdupois ounce, 28.349523125 g).
	for _, need := range []string{`<span class="metric">231 g</span> <span class="imperial">8.1 oz</span>`,
		"39 mm and 31 mm", "is 37 g per shoe lighter than Harrow",
		"expected from weight", "What each difference rests on", "mixed model", "All four pairs are invented."} {
		if !strings.Contains(page, need) {
			t.Errorf("the shoe's page lacks %q", need)
		}
	}
	if strings.Contains(site["shoes/quill.html"], "expected from weight") ||
		!strings.Contains(site["shoes/quill.html"], "not weighed") {
		t.Error("a shoe of unknown mass has a weight part")
	}
	if strings.Contains(site["shoes/harrow.html"], "expected from weight") {
		t.Error("the reference shoe is split against itself")
	}
}

func TestMethodListsEveryRule(t *testing.T) {
	page := built()["full"]["method.html"]
	for _, rule := range quality.Rules() {
		if !strings.Contains(page, `id="rule-`+string(rule.Slug)+`"`) {
			t.Errorf("the rule %q is not explained", rule.Slug)
		}
	}
	if !strings.Contains(page, `id="cautions"`) {
		t.Error("the cautions are not where the footer links to")
	}
}

func TestExplorerShell(t *testing.T) {
	page := built()["with explorer"]["explorer/index.html"]
	for _, need := range []string{
		`<script defer src="wasm_exec.js"></script>`, `<script defer src="boot.js"></script>`,
		`<link rel="stylesheet" href="../style.css">`, `<link rel="stylesheet" href="explorer.css">`,
		`<p id="explorer-status" role="status">`, `<div id="explorer-app" data-bundle="../data/"></div>`, "<noscript>",
		"script-src &#39;self&#39; &#39;wasm-unsafe-eval&#39;", "connect-src &#39;self&#39;",
		"worker-src &#39;self&#39;",
	} {
		if !strings.Contains(page, need) {
			t.Errorf("the explorer's page lacks %s", need)
		}
	}
}

func TestWordsOnPages(t *testing.T) {
	for got, want := range map[string]string{
		nonBreaking("it is -0.5 % at 268 W (95 % interval)"): "it is \u22120.5\u00a0% at 268\u00a0W (95\u00a0% " +
			"interval)",
		nonBreaking("A-2 shoes"):                  "A-2 shoes",
		clockChange(-57):                          "\u22120:57",
		clockChange(3):                            "+0:03",
		english.Dates("2026-03-07", "2026-04-25"): "7 March to 25 April 2026",
		english.Dates("2025-12-31", "2026-01-02"): "31 December 2025 to 2 January 2026",
		english.Date("someday"):                   "someday",
		curveAuthor("kipp_2019"):                  "Kipp, Kram & Hoogkamer 2019",
		curveAuthor("acsm_level"):                 "American College of Sports Medicine",
		minutes(300):                              "5 min",
		minutes(90):                               "90 s",
		minutes(330):                              "5 min 30 s",
		size(999):                                 "999 B",
		size(2_164_000):                           "2.2 MB",
		pageName("2031-03-14-power"):              "2031-03-14-power.html",
		pageName("index"):                         "index~.html",
		pageName("../x"):                          "~2E.~2Fx.html",
		href("sub dir/a#b?c:d%.csv"):              "sub%20dir/a%23b%3Fc%3Ad%25.csv",
		quantity(units.Missing, 1, "m"):           "",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// The answer is drawn by style.css alone, so nothing on it may have a class that only pages.css
// knows; every other page has both.
func TestAnswerNeedsOneSheet(t *testing.T) {
	names := func(css []byte) []string {
		var list []string
		for _, m := range regexp.MustCompile(`\.([a-z][a-z0-9-]*)`).FindAllSubmatch(packed(css), -1) {
			list = append(list, string(m[1]))
		}
		return list
	}
	known := names(styleSheet)
	others := slices.DeleteFunc(names(pagesSheet), func(name string) bool { return slices.Contains(known, name) })
	others = append(others, "letter", "panels") // style.css knows them inside figures only
	if !slices.Contains(others, "findings") || !slices.Contains(others, "facts") {
		t.Fatalf("pages.css alone has the classes %v", others)
	}
	class := regexp.MustCompile(`class="([^"]*)"`)
	for name, in := range map[string]Input{"trial": newFixture().input(), "nothing yet": emptied()} {
		for path, page := range pages(publish(t, in)) {
			if path != "index.html" {
				if !strings.Contains(page, `pages.css">`) {
					t.Errorf("%s: %s lacks pages.css", name, path)
				}
				continue
			}
			if strings.Contains(page, "pages.css") {
				t.Errorf("%s: the answer asks for pages.css", name)
			}
			for _, m := range class.FindAllStringSubmatch(page, -1) {
				for _, used := range strings.Fields(m[1]) {
					if slices.Contains(others, used) {
						t.Errorf("%s: the answer uses .%s, which only pages.css has", name, used)
					}
				}
			}
		}
	}
}

// Contrast is that of WCAG 2.2: text 4.5:1 (success criterion 1.4.3), marks 3:1
// (1.4.11), in both colour schemes.
func TestContrast(t *testing.T) {
	light, dark, found := strings.Cut(string(styleSheet), "prefers-color-scheme: dark")
	if !found {
		t.Fatal("the style sheet has no dark scheme")
	}
	for scheme, css := range map[string]string{"light": light, "dark": dark} {
		colour := map[string]string{}
		for _, m := range regexp.MustCompile(`--([a-z0-9-]+): (#[0-9a-f]{6});`).FindAllStringSubmatch(css, -1) {
			if _, seen := colour[m[1]]; !seen {
				colour[m[1]] = m[2]
			}
		}
		for _, ground := range []string{"page", "raised"} {
			for _, name := range []string{"ink", "quiet", "link", "stop", "warn"} {
				if c := contrast(t, colour[name], colour[ground]); c < 4.5 {
					t.Errorf("%s: %s on %s has %.2f:1, want 4.5:1", scheme, name, ground, c)
				}
			}
			for shoe := range figure.Colours() {
				if c := contrast(t, colour[figure.ColourClass(shoe)], colour[ground]); c < 3 {
					t.Errorf("%s: %s on %s has %.2f:1, want 3:1", scheme, figure.ColourClass(shoe), ground, c)
				}
			}
		}
		if scheme == "light" {
			for shoe, c := range figure.Colours() {
				if colour[figure.ColourClass(shoe)] != c {
					t.Errorf("shoe %d is %s in a figure alone and %s on a page", shoe, c,
						colour[figure.ColourClass(shoe)])
				}
			}
		}
	}
}

// contrast follows the definitions of relative luminance and contrast ratio in
// WCAG 2.2.
func contrast(t *testing.T, a, b string) float64 {
	t.Helper()
	la, lb := luminance(t, a), luminance(t, b)
	return (math.Max(la, lb) + 0.05) / (math.Min(la, lb) + 0.05)
}

func luminance(t *testing.T, colour string) float64 {
	t.Helper()
	if len(colour) != 7 {
		t.Fatalf("no colour: %q", colour)
	}
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		n, err := strconv.ParseUint(colour[1+2*i:3+2*i], 16, 8)
		if err != nil {
			t.Fatal(err)
		}
		c := float64(n) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

// Black on white is 21:1 by the definition.
func TestContrastOfBlackOnWhite(t *testing.T) {
	if c := contrast(t, "#000000", "#ffffff"); math.Abs(c-21) > 1e-9 {
		t.Errorf("%v", c)
	}
}

func BenchmarkPages(b *testing.B) {
	in := newFixture().input()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := made(in); err != nil {
			b.Fatal(err)
		}
	}
}

// How the answer moved is drawn and tabled, and says what moved.
func TestHowTheAnswerMoved(t *testing.T) {
	page := built()["full"]["sessions/index.html"]
	rows := rowsOf(t, page, "How the answer moved, session by session: Speed at the same power")
	if len(rows) < 8 || strings.Count(page, `<figure class="panels">`) != 1 {
		t.Errorf("%d rows, %d figures", len(rows), strings.Count(page, `<figure class="panels">`))
	}
	for _, row := range rows {
		if !strings.Contains(row[2], " %") || !strings.Contains(row[3], " %") && row[3] != "reference" {
			t.Errorf("numbers without a unit: %q", row)
		}
	}
}
