package main_test

import (
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// What the explorer computes and shows must not depend on whose browser it is. Chromium
// is driven by chromedp in all other tests; the other engines by WebDriver, of which
// there are two forms: bidi_test.go and webdriver_test.go.

// engine is what either form of WebDriver offers to a test.
type engine interface {
	// navigate opens an address and waits until it is loaded.
	navigate(address string)
	// evaluate returns the value of an expression in the page, awaited, as a text.
	evaluate(expression string) string
	// press types keys, as the table of keys of the WebDriver standard names them.
	press(actions []map[string]string)
	// unfaulted fails the test for errors in the page and requests to other hosts.
	unfaulted()
}

// foreign is one page of a browser of another engine than Chromium's.
type foreign struct {
	engine
	t    testing.TB
	name string // of the browser, for messages
	root string // address of the site
}

// explore opens the explorer at a fragment and waits until it has settled.
func (f *foreign) explore(fragment string) {
	f.t.Helper()
	f.navigate(f.root + "explorer/" + fragment)
	f.until(arrived)
	f.until(deriving)
}

func (f *foreign) until(expression string) {
	f.t.Helper()
	end := time.Now().Add(3 * patience)
	for ; f.evaluate("!!("+expression+")") != "true"; time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			f.unfaulted()
			f.t.Fatalf("%s: %s stays false; the page reads %q", f.name, expression,
				f.evaluate(`(document.getElementById("explorer-status") || document.body).textContent`))
		}
	}
}

// text is that of the first element that a selector names.
func (f *foreign) text(selector string) string {
	f.t.Helper()
	return f.evaluate(`(document.querySelector("` + selector + `") || {textContent: "not there"}).textContent`)
}

// typeOver replaces what a field holds, key by key.
func (f *foreign) typeOver(selector, keys string) {
	f.t.Helper()
	f.evaluate(`document.querySelector("` + selector + `").focus()`)
	const control = "\uE009" // of the WebDriver standard's table of keys
	actions := []map[string]string{{"type": "keyDown", "value": control}, {"type": "keyDown", "value": "a"},
		{"type": "keyUp", "value": "a"}, {"type": "keyUp", "value": control}}
	for _, key := range keys {
		actions = append(actions, map[string]string{"type": "keyDown", "value": string(key)},
			map[string]string{"type": "keyUp", "value": string(key)})
	}
	f.press(actions)
}

// shown are the parts of the explorer that hold numbers.
var shown = []string{".answer-table", "#blocks-table", "#proof-table"}

// tables reads every table that the page shows.
func (f *foreign) tables() (texts []string) {
	f.t.Helper()
	f.until(`!/exact in a moment/.test(document.getElementById("explorer-status").textContent)`)
	for _, selector := range append(shown, "#explorer-status") {
		text := f.text(selector)
		if len(text) < 40 {
			f.t.Errorf("%s in %s reads %q", selector, f.name, text)
		}
		texts = append(texts, text)
	}
	return texts
}

// walkExplorer loads the explorer, which recomputes every published table, changes the
// trim by keys, and opens an address that holds a choice. It returns what the tables read
// after each step.
func (f *foreign) walkExplorer() (texts []string) {
	f.t.Helper()
	f.explore("")
	if status := f.text("#explorer-status"); !strings.Contains(status, "identical to the published tables (") {
		f.t.Errorf("the status line in %s reads %q", f.name, status)
	}
	texts = f.tables()
	published := f.text(".answer-table")

	f.typeOver("#trim-head_s", "150")
	f.until(`location.hash.includes("head_s=150")`)
	moved := f.text(".answer-table")
	if moved == published || !strings.Contains(f.text(yours), "%") {
		f.t.Errorf("with 150 s cut off, the comparisons in %s still read %.200q", f.name, moved)
	}
	texts = append(texts, f.tables()...)

	const chosen = "#session=2026-03-07-power&out=2026-03-07-power/2&drift=none&head_s=90"
	f.explore("index.html" + chosen) // another address, so that the page is loaded anew
	texts = append(texts, f.tables()...)
	f.unfaulted()
	return texts
}

// chrome is a page in Chromium as an engine like the others.
type chrome struct{ *tab }

func (c chrome) navigate(address string) { c.do(chromedp.Navigate(address)) }

func (c chrome) evaluate(expression string) string {
	c.t.Helper()
	return value[string](c.tab, "(async () => String(await ("+expression+")))()")
}

func (c chrome) press(actions []map[string]string) {
	c.t.Helper()
	c.evaluate(`document.activeElement.select()`) // the first four actions do that
	for _, action := range actions[4:] {
		if action["type"] == "keyDown" {
			c.do(chromedp.KeyEvent(action["value"]))
		}
	}
}

func (c chrome) unfaulted() { c.tab.unfaulted() }

func TestExplorerInOtherEngines(t *testing.T) {
	server := serve(t, publish(t))
	p := open(t, server, 1280)
	want := (&foreign{engine: chrome{p}, t: t, name: "Chromium", root: p.root}).walkExplorer()
	for name, start := range map[string]func(t testing.TB) *foreign{
		"Firefox": func(t testing.TB) *foreign { return openFox(t, server) },
		"WebKit":  func(t testing.TB) *foreign { f, _ := openKit(t, server, 1280, 900); return f },
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			for i, got := range start(t).walkExplorer() {
				if got != want[i] {
					t.Errorf("in %s\n%.2000s\nin Chromium\n%.2000s", name, got, want[i])
				}
			}
		})
	}
}
