package main_test

import (
	"context"
	"fmt"
	"io/fs"
	"net/http/httptest"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/forecast"
)

// htmlPages lists the pages of a site, without the explorer's.
func htmlPages(t testing.TB, site string) []string {
	t.Helper()
	var pages []string
	err := fs.WalkDir(os.DirFS(site), ".", func(path string, _ fs.DirEntry, err error) error {
		if strings.HasSuffix(path, ".html") && !strings.HasPrefix(path, "explorer/") &&
			!strings.HasPrefix(path, "track/") {
			pages = append(pages, path)
		}
		return err
	})
	if err != nil || len(pages) == 0 {
		t.Fatalf("the site has the pages %q, %v", pages, err)
	}
	return pages
}

// kinds keeps one page of every folder and every page of the root.
func kinds(pages []string) []string {
	var some []string
	seen := map[string]bool{}
	for _, p := range pages {
		kind := path.Dir(p)
		if kind == "." || path.Base(p) == "index.html" {
			kind = p
		}
		if !seen[kind] {
			some = append(some, p)
		}
		seen[kind] = true
	}
	return some
}

// look is how a reader sees a page.
type look struct {
	width  int
	scheme string
}

func (l look) String() string { return fmt.Sprintf("%d px, %s", l.width, l.scheme) }

// see emulates a look; further media features are given as name and value.
func (p *tab) see(l look, features ...string) {
	p.t.Helper()
	media := emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme",
		Value: l.scheme}}}
	for i := 0; i < len(features); i += 2 {
		media.Features = append(media.Features, &emulation.MediaFeature{Name: features[i], Value: features[i+1]})
	}
	if _, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia, media); err != nil {
		p.t.Fatal(err)
	}
	p.do(chromedp.EmulateViewport(int64(l.width), 900))
}

// unfold opens everything that can be opened.
func (p *tab) unfold() {
	p.t.Helper()
	value[bool](p, `document.querySelectorAll("details").forEach((d) => d.open = true) ?? true`)
}

// watchPolicy keeps what the content security policy of the pages to come forbids.
func (p *tab) watchPolicy() {
	p.t.Helper()
	script := page.AddScriptToEvaluateOnNewDocumentParams{Source: `window.forbidden = [];
		document.addEventListener("securitypolicyviolation", (e) =>
			forbidden.push(e.effectiveDirective + " " + e.blockedURI + " " + e.sample));`}
	if _, err := chromedp.Call(p.ctx, page.AddScriptToEvaluateOnNewDocument, script); err != nil {
		p.t.Fatal(err)
	}
}

// unforbidden fails the test for what the policy of this page forbade so far.
func (p *tab) unforbidden(where string) {
	p.t.Helper()
	if forbidden := value[[]string](p, `forbidden`); len(forbidden) > 0 {
		p.t.Errorf("%s: the content security policy forbids %q", where, forbidden)
	}
}

// shot keeps a picture of the page for people to look at, in the folder that
// SOLETRIAL_SHOTS names.
func (p *tab) shot(where string, l look) {
	if folder := os.Getenv("SOLETRIAL_SHOTS"); folder != "" {
		shoot(p, filepath.Join(folder, fmt.Sprintf("%s-%d-%s.png", strings.ReplaceAll(where, "/", "_"), l.width,
			l.scheme)))
	}
}

// upright fails the test when the page scrolls sideways, and names what sticks out.
func (p *tab) upright(where string) {
	p.t.Helper()
	if over := value[int](p, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
		p.t.Errorf("%s: the page scrolls sideways by %d px: %s", where, over,
			value[string](p, `[...document.querySelectorAll("body *")]
			.filter((e) => e.getBoundingClientRect().right > document.documentElement.clientWidth + 1 &&
				!e.closest(".scroll, svg"))
			.map((e) => e.tagName + "#" + e.id + "." + e.className + " " + e.textContent.slice(0, 40)).join("; ")`))
	}
}

// reflows looks at the page in a window of 320 px (that is 400 % of 1280 px, WCAG
// 2.2, 1.4.10), and with letters of twice the size (1.4.4).
func (p *tab) reflows(where string) {
	p.t.Helper()
	p.do(chromedp.EmulateViewport(320, 900))
	p.upright(where + " at 320 px")
	p.do(chromedp.EmulateViewport(640, 900))
	value[bool](p, `document.documentElement.style.fontSize = "200%"; true`)
	p.upright(where + " at 640 px with letters of twice the size")
	value[bool](p, `document.documentElement.style.fontSize = ""; true`)
}

// part runs a part of a test in the same tab.
func (p *tab) part(name string, check func()) {
	whole := p.t.(*testing.T)
	whole.Run(name, func(t *testing.T) {
		p.t = t
		defer func() { p.t = whole }()
		check()
	})
}

// TestPages publishes the demonstration once and looks at its pages in one tab.
func TestPages(t *testing.T) {
	t.Parallel()
	site := publish(t)
	server := serve(t, site)
	p, pages := open(t, server, 1280), htmlPages(t, site)
	if len(pages) < 17 {
		t.Fatalf("only the pages %q", pages)
	}
	p.watchPolicy()
	each := func(pages []string, check func(page string)) {
		for _, page := range pages {
			p.do(chromedp.Navigate(p.root + page))
			check(page)
		}
	}
	p.part("valid", func() {
		for _, fault := range invalid(p.t, pageRules, site) {
			p.t.Error(fault)
		}
	})
	p.part("accessible", func() {
		program := axe(p.t)
		each(pages, func(page string) {
			p.unfold()
			views := everyView
			if !slices.Contains(kinds(pages), page) { // its template was in every view
				views = everyView[:1]
			}
			p.accessibleIn(views, program, page)
			p.unforbidden(page)
		})
	})
	p.part("reflow", func() {
		each(pages, func(page string) {
			p.unfold()
			p.reflows(page)
		})
	})
	p.part("keyboard", func() { each(kinds(pages), p.walked) })
	p.part("screen reader", func() {
		each(kinds(pages), func(page string) {
			p.unfold()
			p.heard(page)
			p.still(page)
		})
	})
	p.part("policy", p.refusesScripts)
	p.part("first screen", p.answersAtOnce)
	p.part("my race", p.carriesToMyRace)
	p.part("to the explorer", p.leadsToTheExplorer)
	p.part("blocks", p.tellsBlocks)
	p.part("print", func() { p.prints("sessions/2026-04-18-heart-rate.html") })
	p.part("print what is unfolded", func() { each([]string{"index.html", "shoes/fennock.html"}, p.printsUnfolded) })
	p.unfaulted()
	p.part("without a connection", func() { p.readsOffline(server) })
}

// A script that gets into a page in spite of everything must not run. What
// evaluates here comes through the devtools, which no policy binds.
func (p *tab) refusesScripts() {
	p.t.Helper()
	p.do(chromedp.Navigate(p.root + "index.html"))
	ran := value[bool](p, `(async () => {
		window.ran = false;
		const script = document.createElement("script"), picture = document.createElement("img");
		script.textContent = "window.ran = true";
		picture.setAttribute("onerror", "window.ran = true");
		picture.src = "nothing.png";
		document.body.append(script, picture);
		await new Promise((done) => setTimeout(done, 200));
		return window.ran; })()`)
	if forbidden := value[[]string](p, `forbidden`); ran || len(forbidden) < 2 {
		p.t.Errorf("an inline script ran: %v; the browser reports %q", ran, forbidden)
	}
	p.mu.Lock()
	p.faults = nil // those were meant
	p.mu.Unlock()
}

// Someone on a phone has the whole answer without scrolling: what to do, by how much, a bar
// for each shoe, the evidence.
func (p *tab) answersAtOnce() {
	p.t.Helper()
	p.see(look{390, "light"})
	p.do(chromedp.EmulateViewport(390, 844), chromedp.Navigate(p.root+"index.html"))
	below := value[[]float64](p, `[...document.querySelectorAll(".card h1, .card .big, .card .chances, .card `+
		`.evidence")].filter((e) => e.checkVisibility()).map((e) => e.getBoundingClientRect().bottom)`)
	if len(below) != 4 || below[0] > 300 ||
		below[3] > 844 { // what a phone of 390 x 844 px shows
		p.t.Errorf("the parts of the answer end at %v px", below)
	}
	// No conclusion is off the screen at any width, not even inside something that scrolls.
	for _, width := range []int64{320, 390, 960, 1280, 1440} {
		p.do(chromedp.EmulateViewport(width, 900), chromedp.Navigate(p.root+"index.html"))
		p.unfold()
		hidden := value[[]string](p,
			`[...document.querySelectorAll("main *")].filter((e) => e.children.length === 0 && e.textContent.trim() &&
			!e.closest(".unseen, .chances caption, .cards thead, svg, code") && e.checkVisibility() &&
			(e.getBoundingClientRect().right > document.documentElement.clientWidth + 1 ||
				e.getBoundingClientRect().left < -1))
			.map((e) => e.tagName + " " + e.textContent.slice(0, 40))`)
		if len(hidden) > 0 {
			p.t.Errorf("at %d px these are off the screen: %q", width, hidden)
		}
	}
}

// My race shows the numbers of forecast for any race, keeps it in the address, and says what
// is wrong with what was typed.
func (p *tab) carriesToMyRace() {
	p.t.Helper()
	shown := func() []string {
		return value[[]string](p, `[...document.querySelectorAll(".saved strong")].map((e, i) => e.textContent + " | `+
			`" + document.querySelectorAll(".intervals span")[i].textContent)`)
	}
	for _, race := range []struct {
		distance, unit, time string
		metres, seconds      float64
	}{
		{"21.0975", "km", "1:32:00", 21097.5, 5520}, {"5", "km", "21:05", 5000, 1265}, {"42.195", "km", "4:10:00",
			42195, 15000},
		{"10", "mi", "1:05:30", 16093.44, 3930}, {"1.5", "km", "5:00.5", 1500, 300.5}, {"100", "km", "9:59:59", 100000,
			35999},
	} {
		p.do(chromedp.Navigate(p.root+"shoes/index.html"), chromedp.Navigate(p.root+"index.html#race="+race.distance+
			race.unit+"&time="+race.time))
		effects := value[[][]float64](p, `[...document.querySelectorAll(".saved tbody tr")].map((e) => ["mean", `+
			`"low", "high", "speed"].map((k) => Number(e.dataset[k])))`)
		if len(effects) != 3 {
			p.t.Fatalf("%d shoes against the leader", len(effects))
		}
		for i, text := range shown() {
			e := effects[i]
			r := forecast.RangeOf(forecast.Rows(forecast.Effect{Estimate: e[0], Low: e[1], High: e[2], TestSpeed: e[3]},
				forecast.Race{DistanceM: race.metres, TimeS: race.seconds}))
			want := strings.ReplaceAll(answer.SignedClock(-(r.Min+r.Max)/2)+" | "+answer.SignedClock(-r.High)+" to "+
				answer.SignedClock(-r.Low), "-", "\u2212")
			if text != want {
				p.t.Errorf("%s %s in %s: %q, want %q", race.distance, race.unit, race.time, text, want)
			}
		}
	}
	// Typed, it goes into the address; what is no race is said, and changes nothing.
	before := shown()
	typed := value[[]string](p,
		`(() => { const field = document.getElementById("race-time"), help = document.getElementById("race-help");
		const type = (text) => { field.value = text; field.dispatchEvent(new Event("input", {bubbles: true}));
			return help.textContent + " @ " + location.hash; };
		return [type("soon"), type("11:00:00")]; })()`)
	if !strings.HasPrefix(typed[0], "Write the time") || typed[1] != " @ #race=100km&time=11:00:00" {
		p.t.Errorf("typing says %q", typed)
	}
	if after := shown(); after[0] == before[0] {
		p.t.Errorf("a slower race is worth the same: %q", after)
	}
}

// A doubter comes from a session's page to that session in the explorer.
func (p *tab) leadsToTheExplorer() {
	p.t.Helper()
	p.do(chromedp.Navigate(p.root+"sessions/2026-03-14-power.html"),
		chromedp.Click(chromedp.CSS(`a[href*="#session="]`)))
	p.arrived()
	if at := value[string](p, `document.getElementById("choose-session").value`); at != "2026-03-14-power" {
		p.t.Errorf("the explorer opens at session %q", at)
	}
}

// readsOffline closes the site and opens pages that were read and one that was not. A page that
// was not read stays away: nothing else is shown in its place.
func (p *tab) readsOffline(server *httptest.Server) {
	p.t.Helper()
	read := []string{"index.html", "shoes/fennock.html", "sessions/2026-03-14-power.html", ""}
	p.do(chromedp.Navigate(p.root + "index.html"))
	p.until(`navigator.serviceWorker.controller !== null`)
	titles := map[string]string{}
	for _, page := range read {
		p.do(chromedp.Navigate(p.root + page))
		titles[page] = value[string](p, `document.title`)
	}
	kept := value[[]string](p, `(async () => {
		const names = (await caches.keys()).filter((name) => name.startsWith("soletrial pages"));
		return (await Promise.all(names.map(async (name) => (await (await caches.open(name)).keys())
			.map((r) => r.url)))).flat(); })()`)
	for _, address := range kept {
		if strings.Contains(address, "/explorer/") || strings.Contains(address, "/track/") {
			p.t.Errorf("kept among the pages: %s", address)
		}
	}
	server.CloseClientConnections()
	server.Listener.Close()
	for _, page := range read {
		p.do(chromedp.Navigate(p.root + page))
		if title := value[string](p, `document.title`); title == "" || title != titles[page] {
			p.t.Errorf("%q without a connection is %q, want %q", page, title, titles[page])
		}
		font := value[string](p, `getComputedStyle(document.querySelector("h1")).fontFamily`)
		if !strings.Contains(font, "ui-serif") {
			p.t.Errorf("%q without a connection has no style: %s", page, font)
		}
	}
	for _, page := range []string{"explorer/never-read.html", "shoes/never-read.html"} {
		ctx, cancel := context.WithTimeout(p.ctx, patience)
		err := chromedp.Do(ctx, chromedp.Navigate(p.root+page))
		cancel()
		if err == nil {
			p.t.Errorf("%s opens without a connection as %q", page, value[string](p, `document.title`))
		}
	}
	p.mu.Lock()
	p.faults = nil // that the site is gone is meant
	p.mu.Unlock()
}

// printsUnfolded sees on paper all folds of a page that are open, and none that is closed.
func (p *tab) printsUnfolded(page string) {
	p.t.Helper()
	p.see(look{1280, "light"})
	p.do(chromedp.Navigate(p.root + page))
	paper := emulation.SetEmulatedMediaParams{Media: "print"}
	if _, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia, paper); err != nil {
		p.t.Fatal(err)
	}
	const printed = `[...document.querySelectorAll("main details")].filter((d) => d.checkVisibility()).length`
	if n := value[int](p, printed); n > 0 {
		p.t.Errorf("%s: %d folds are printed closed", page, n)
	}
	p.unfold()
	all := value[int](p, `document.querySelectorAll("main details").length`)
	defer p.see(look{1280, "light"}) // ends paper
	if n := value[int](p, printed); n != all || all < 3 {
		p.t.Errorf("%s: %d of %d open folds are printed", page, n, all)
	}
}

// prints puts a page on A4, from a dark screen.
func (p *tab) prints(path string) {
	p.t.Helper()
	p.see(look{1280, "dark"})
	p.do(chromedp.Navigate(p.root + path))
	printed, err := chromedp.Call(p.ctx, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: 8.27, PaperHeight: 11.69})
	if err != nil {
		p.t.Fatal(err)
	}
	if n := len(onePage.FindAll(printed.Data, -1)); n != 2 { // two sheets
		p.t.Errorf("%s prints on %d pages", path, n)
	}
	if folder := os.Getenv("SOLETRIAL_SHOTS"); folder != "" {
		if err := os.WriteFile(filepath.Join(folder, "session.pdf"), printed.Data, 0o644); err != nil {
			p.t.Error(err)
		}
	}
}
