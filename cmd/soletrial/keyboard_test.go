package main_test

import (
	"encoding/json"
	"strconv"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// stops lists what the tab key must lead to, in order: everything that can be
// seen and used. A group of radio buttons is one stop.
const stops = `[...document.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex]")]
	.filter((e) => e.tabIndex >= 0 && !e.disabled && e.checkVisibility({contentVisibilityAuto: true}) &&
		!(e.type === "file" && e.hidden))`

// walked goes through a page by the tab key alone: it meets all there is to meet,
// in the order of the page, and always shows where it is. The first stop leads
// past the head of the page.
func (p *tab) walked(where string) {
	p.t.Helper()
	p.start()
	p.skips(where)
	value[bool](p, `(window.want = `+stops+`, true)`)
	p.start()
	wanted := value[int](p, `want.length`)
	if wanted < 8 {
		p.t.Errorf("%s: only %d stops", where, wanted)
	}
	for i := range wanted {
		p.do(chromedp.KeyEvent(kb.Tab))
		at := strconv.Itoa(i)
		met := value[[]string](p, `(() => { const e = document.activeElement, style = getComputedStyle(e),
			box = e.getBoundingClientRect();
			const name = (x) => x ? x.tagName + "#" + x.id + " " + x.textContent.slice(0, 30) : "nothing";
			const seen = style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2 && box.bottom > 0 &&
				box.top < innerHeight;
			return [name(e), name(want[`+at+`]), e === want[`+at+`] ? "" : "elsewhere", seen ? "" : "unseen"]; })()`)
		if met[2] != "" || met[3] != "" {
			p.t.Errorf("%s: tab %d leads to %q, want %q (%s %s)", where, i+1, met[0], met[1], met[2], met[3])
			return
		}
	}
}

// start puts the focus before everything on the page.
func (p *tab) start() {
	p.t.Helper()
	value[bool](p,
		`(document.body.tabIndex = -1, document.body.focus(), document.body.removeAttribute("tabindex"), true)`)
}

// skips follows the link past the head of the page, which is the first stop.
func (p *tab) skips(where string) {
	p.t.Helper()
	p.do(chromedp.KeyEvent(kb.Tab))
	if words := value[string](p, `document.activeElement.textContent`); words != "Skip to the content" {
		p.t.Errorf("%s: the first stop is %q", where, words)
	}
	p.do(chromedp.KeyEvent(kb.Enter), chromedp.KeyEvent(kb.Tab))
	if !value[bool](p, `document.querySelector("main, footer").contains(document.activeElement)`) {
		p.t.Errorf("%s: the link past the head of the page leads to %q", where,
			value[string](p, `document.activeElement.outerHTML`))
	}
}

// said returns the text of a value of the accessibility tree.
func said(v *accessibility.Value) string {
	var text string
	if v != nil {
		_ = json.Unmarshal(v.Value, &text) // not a text: nothing is said
	}
	return text
}

// controlRoles must have a name, or a screen reader says nothing but their kind.
var controlRoles = map[string]bool{
	"link": true, "button": true, "textbox": true, "spinbutton": true, "slider": true, "checkbox": true, "radio": true,
	"combobox": true, "listbox": true, "switch": true, "tab": true, "menuitem": true, "searchbox": true, "image": true,
	"DisclosureTriangle": true, "dialog": true, "table": true, "figure": false,
}

// heard walks through the accessibility tree as a screen reader does.
func (p *tab) heard(where string) {
	p.t.Helper()
	tree, err := chromedp.Call(p.ctx, accessibility.GetFullAXTree, accessibility.GetFullAXTreeParams{})
	if err != nil {
		p.t.Fatal(err)
	}
	count := map[string]int{}
	for _, n := range tree.Nodes {
		role := said(n.Role)
		if n.Ignored {
			continue
		}
		count[role]++
		if controlRoles[role] && said(n.Name) == "" {
			p.t.Errorf("%s: a %s has no name: %s", where, role, said(n.Description))
		}
	}
	for _, role := range []string{"main", "banner", "contentinfo", "navigation", "heading", "link"} {
		if count[role] == 0 {
			p.t.Errorf("%s: no %s among %v", where, role, count)
		}
	}
	headless := value[[]string](p,
		`[...document.querySelectorAll("table")].filter((t) => !t.caption?.textContent.trim() ||
			!t.querySelector("thead th[scope=col]") || t.querySelector("th:not([scope])"))
			.map((t) => t.textContent.slice(0, 60))`)
	if tables := value[int](p, `document.querySelectorAll("table").length`); len(headless) > 0 || tables > 0 &&
		count["columnheader"] == 0 {
		p.t.Errorf("%s: of %d tables these lack a caption or headings: %q", where, tables, headless)
	}
	silent := value[[]string](p, `[...document.querySelectorAll("svg, canvas, img")]
		.filter((e) => !e.parentElement.closest("svg") && !e.closest("[aria-hidden=true]") &&
		!(e.getAttribute("role") === "img" &&
		(e.getAttribute("aria-label") || e.getAttribute("aria-labelledby")?.split(" ").every((id) =>
			document.getElementById(id)?.textContent.trim())))).map((e) => e.outerHTML.slice(0, 120))`)
	if len(silent) > 0 {
		p.t.Errorf("%s: pictures without words: %q", where, silent)
	}
}

// still fails the test when anything on the page moves by itself.
func (p *tab) still(where string) {
	p.t.Helper()
	if moving := value[[]string](p,
		`[...document.styleSheets].flatMap((s) => [...s.cssRules]).map((r) => r.cssText)
			.filter((css) => /[{;] *(transition|animation|scroll-behavior)/.test(css))
		.concat(document.getAnimations().map(String), [...document.querySelectorAll("marquee, animate, video, audio")]
			.map((e) => e.tagName))`); len(moving) > 0 {
		p.t.Errorf("%s: these move by themselves, reduced motion or not: %q", where, moving)
	}
}

// A finger and the keys learn which block is which and in which shoe, as a pointer does; nothing of
// the blocks is out of sight on a phone.
func (p *tab) tellsBlocks() {
	p.t.Helper()
	p.see(look{390, "light"})
	p.do(chromedp.Navigate(p.root + "sessions/2026-04-11-power.html"))
	told := func(want string) {
		p.t.Helper()
		if got := p.text(".order .told"); got != want {
			p.t.Errorf("the strip tells %q, want %q", got, want)
		}
	}
	p.do(chromedp.Click(chromedp.CSS(".order svg.narrow g:nth-of-type(2)")))
	told("block 2 in Quenby, excluded: \u22120.1 % off target. ")
	p.do(chromedp.Focus(chromedp.CSS(".order input")), chromedp.KeyEvent(kb.ArrowRight))
	told("block 3 in Tarrow: +0.2 % off target. ")
	if chosen := value[int](p, `document.querySelectorAll(".order svg.narrow .chosen").length`); chosen != 2 {
		p.t.Errorf("%d marks of one block are chosen, want its bar and its mark", chosen)
	}
	if across := value[[]string](p, `[...document.querySelectorAll(".scroll:has(.dense)")]
		.filter((e) => e.scrollWidth > e.clientWidth).map((e) => e.textContent.slice(0, 40))`); len(across) > 0 {
		p.t.Errorf("the tables of blocks scroll sideways: %q", across)
	}
}
