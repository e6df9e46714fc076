package main_test

import (
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
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
	site := publish(t)
	p, pages := open(t, serve(t, site), 1280), htmlPages(t, site)
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
			p.accessible(program, page)
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
	p.part("to the explorer", p.leadsToTheExplorer)
	p.part("print", func() { p.prints("sessions/2026-03-07-power.html") })
	p.unfaulted()
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

// Someone on a phone has the answer and its figure without scrolling.
func (p *tab) answersAtOnce() {
	p.t.Helper()
	p.see(look{390, "light"})
	p.do(chromedp.Navigate(p.root + "index.html"))
	below := value[[]float64](p,
		`[...document.querySelectorAll("h1, h1 ~ figure:first-of-type > svg")].filter((e) => e.checkVisibility())
			.map((e) => e.getBoundingClientRect().bottom)`)
	if len(below) != 2 || below[0] > 664 ||
		below[1] > 844 { // what a phone of 390 x 844 px shows, with and without the browser's bars
		p.t.Errorf("the verdict and its figure end at %v px", below)
	}
}

// A doubter comes from a session's page to that session in the explorer.
func (p *tab) leadsToTheExplorer() {
	p.t.Helper()
	p.do(chromedp.Navigate(p.root+"sessions/2026-03-14-power.html"),
		chromedp.Click(chromedp.CSS(`a[href*="#session="]`)))
	p.settled()
	if at := value[string](p, `document.getElementById("choose-session").value`); at != "2026-03-14-power" {
		p.t.Errorf("the explorer opens at session %q", at)
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
	if n := len(onePage.FindAll(printed.Data, -1)); n < 2 || n > 8 {
		p.t.Errorf("%s prints on %d pages", path, n)
	}
	if folder := os.Getenv("SOLETRIAL_SHOTS"); folder != "" {
		if err := os.WriteFile(filepath.Join(folder, "session.pdf"), printed.Data, 0o644); err != nil {
			p.t.Error(err)
		}
	}
}
