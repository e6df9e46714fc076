package main_test

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"math/rand/v2"
	"net/http"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"text/tabwriter"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// The browser's faults, as scripts/faults has those of the commands: `make browser-faults` tries
// every file and 2,000 addresses and actions, the tests' own run a few of each.
var browserFaults = flag.Int("browser-faults", 0,
	"how many addresses and actions the browser's faults try, and every file; 0 is a short campaign")

// campaign counts what was tried in a part of the browser's faults.
type campaign struct {
	t     *testing.T
	table strings.Builder
}

// try runs each trial as a test of its own, and counts those that the explorer survived: it said
// what is wrong or went on, and nothing that it had kept was lost.
func (c *campaign) try(fault string, trials []func(t *testing.T)) {
	survived := 0
	for i, trial := range trials {
		if c.t.Run(fmt.Sprintf("%s %d", fault, i+1), trial) {
			survived++
		}
	}
	fmt.Fprintf(&c.table, "%s\t%d\t%d\n", fault, len(trials), survived)
}

// amount is how many trials a part has: all in the campaign, few in the tests' own run.
func amount(all, few int) int {
	if *browserFaults > 0 {
		return all
	}
	return few
}

// TestBrowserFaults breaks what the explorer depends on, and requires three things: no error
// that nobody caught, the page goes on or says what to do, and what was kept is still there.
func TestBrowserFaults(t *testing.T) {
	t.Parallel()
	site, c := publish(t), &campaign{t: t}
	c.files(site)
	c.storage(site)
	c.keptViews(site)
	c.addresses(site)
	c.actions(site)

	// A table of what was tried.
	var aligned bytes.Buffer
	w := tabwriter.NewWriter(&aligned, 0, 0, 2, ' ', 0)
	fmt.Fprint(w, "fault\ttried\tsurvived\n"+c.table.String())
	w.Flush()
	t.Logf("\n%s", aligned.String())
}

// fileFaults are what can become of a file on its way.
var fileFaults = []struct {
	name      string
	misbehave func(site, file string) http.HandlerFunc
}{
	{"file missing", func(string, string) http.HandlerFunc { return http.NotFound }},
	{"file cut off", cut},
	{"file of another type", func(string, string) http.HandlerFunc { return portal }},
	{"file tampered with", tampered},
	{"file that never comes", func(string, string) http.HandlerFunc { return hang }},
}

// tampered answers with a file in which one letter or byte in the middle is another.
func tampered(site, file string) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		text, err := os.ReadFile(filepath.Join(site, filepath.FromSlash(file)))
		if err != nil || len(text) == 0 {
			http.NotFound(w, r)
			return
		}
		text[len(text)/2] ^= 1
		http.ServeContent(w, r, path.Base(file), time.Time{}, bytes.NewReader(text))
	}
}

// files breaks each file that a whole visit asks for, in each way.
func (c *campaign) files(site string) {
	server := counted(c.t, site)
	p := open(c.t, server.Server, 390)
	p.explore("")
	asked, _ := server.all()
	slices.Sort(asked)
	asked = slices.DeleteFunc(slices.Compact(asked), func(file string) bool { return strings.HasSuffix(file, "/") })
	for i, fault := range fileFaults {
		var trials []func(t *testing.T)
		for k, file := range asked {
			if *browserFaults == 0 && k%len(asked) != 3*i%len(asked) {
				continue
			}
			trials = append(trials, func(t *testing.T) {
				p := open(t, failing(t, site, file, fault.misbehave(site, file)), 390)
				value[bool](p, `(location.href = "`+p.root+`explorer/", true)`)
				p.copes(file)
			})
		}
		c.try(fault.name, trials)
	}
}

// copes waits until the page goes on without a file or says what to do, and holds it to not
// calling identical what it could not read.
func (p *tab) copes(file string) {
	p.t.Helper()
	p.untilWithin(2*patience, `(() => {
		document.getElementById("do-derive")?.click();
		const said = document.getElementById("explorer-status")?.textContent || "";
		return /identical|differ|^Not |reload the page|missing or damaged|could not be loaded|stopped/.test(said);
	})()`)
	said := p.status()
	if strings.HasPrefix(file, "data/sessions/") && strings.Contains(said, "identical") {
		p.t.Errorf("without %s the page says %q", file, said)
	}
	if value[bool](p, `document.getElementById("explorer-status").dataset.state === "running"`) {
		p.answersASlider()
	}
	p.uncaught()
}

// answersASlider moves the main slider and waits until the answer is another.
func (p *tab) answersASlider() {
	p.t.Helper()
	p.until(`document.getElementById("trim-head_s")`)
	p.set("#trim-head_s", "90")
	p.until(`location.hash.includes("head_s=90")`)
}

// uncaught fails the test for errors of the program; that a file is not there is told by the
// browser itself, and rightly.
func (p *tab) uncaught() {
	p.t.Helper()
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, fault := range p.faults {
		if strings.HasPrefix(fault, "console: ") || strings.HasPrefix(fault, "request to another host") {
			p.t.Errorf("the browser reports %s", fault)
		}
	}
}

// storageFaults are scripts that break what a browser keeps things in.
var storageFaults = []struct{ name, script string }{
	{"storage absent", `Object.defineProperty(globalThis, "indexedDB", {value: undefined})`},
	{"storage blocked", `IDBFactory.prototype.open = () => { throw new DOMException("no", "SecurityError"); }`},
	{"storage that refuses later", `IDBFactory.prototype.open = () => { const asked = new EventTarget();
		setTimeout(() => { asked.error = new DOMException("no", "UnknownError"); asked.onerror?.(new Event("error"));
			asked.dispatchEvent(new Event("error")); }, 50); return asked; }`},
	{"storage never answering", `IDBFactory.prototype.open = () => new EventTarget()`},
	{"storage full, refused", `IDBObjectStore.prototype.put = () => {
		throw new DOMException("no", "QuotaExceededError"); }`},
	{"storage full, given up", `const put = IDBObjectStore.prototype.put; IDBObjectStore.prototype.put =
		function (...all) { const asked = put.apply(this, all); this.transaction.abort(); return asked; }`},
	{"storage that cannot be read", `IDBObjectStore.prototype.get = () => {
		throw new DOMException("no", "DataError"); }`},
}

// storage visits, changes and keeps something where the browser's storage is broken.
func (c *campaign) storage(site string) {
	server := serve(c.t, site)
	for i, fault := range storageFaults {
		if *browserFaults == 0 && i%3 != 2 {
			continue // tests of their own have the others
		}
		c.try(fault.name, []func(t *testing.T){func(t *testing.T) {
			p := open(t, server, 1280)
			p.before(fault.script)
			p.do(chromedp.Navigate(p.root + "explorer/"))
			p.arrived()
			p.answersASlider()
			p.keep("mine")
			p.until(`document.getElementById("open-1")`)
			p.unfaulted()
		}})
	}
}

// keep keeps the view under a name, as the button does.
func (p *tab) keep(name string) {
	p.t.Helper()
	p.until(`document.getElementById("view-name")`)
	value[bool](p, fmt.Sprintf(`(() => { const field = document.getElementById("view-name"); field.value = %q;
		field.dispatchEvent(new Event("input", {bubbles: true}));
		field.dispatchEvent(new Event("change", {bubbles: true}));
		document.getElementById("do-keep").click(); return true; })()`, name))
}

// another opens one more tab of the same browser.
func (p *tab) another() *tab {
	p.t.Helper()
	ctx, stop := chromedp.NewContext(p.ctx)
	p.t.Cleanup(stop)
	q := &tab{t: p.t, ctx: ctx, root: p.root}
	if err := chromedp.Listen(ctx, func(event any) { q.note(event, strings.Split(p.root, "/")[2]) }); err != nil {
		p.t.Fatal(err)
	}
	if _, err := chromedp.Call(ctx, network.Enable, network.EnableParams{}); err != nil {
		p.t.Fatal(err)
	}
	return q
}

// keptViews keeps views in two tabs at once, and kills the renderer right after one is kept.
func (c *campaign) keptViews(site string) {
	server := serve(c.t, site)
	names := func(t *testing.T, p *tab, wanted ...string) {
		t.Helper()
		for _, name := range wanted {
			p.until(`/title=` + name + `\n/.test(` + database(`const get = db.transaction("own").objectStore("own")
				.get("views"); get.onsuccess = () => close(new TextDecoder().decode(get.result));`) + `)`)
		}
	}
	var both, killed []func(t *testing.T)
	for range amount(20, 1) {
		both = append(both, func(t *testing.T) {
			p := open(t, server, 1280)
			q := p.another()
			p.visit("")
			q.visit("#head_s=90")
			for i := range 3 {
				p.keep(fmt.Sprintf("here%d", i))
				q.keep(fmt.Sprintf("there%d", i))
			}
			names(t, p, "here0", "here1", "here2", "there0", "there1", "there2")
			p.unfaulted()
			q.unfaulted()
		})
		killed = append(killed, func(t *testing.T) {
			p := open(t, server, 1280)
			p.visit("#head_s=90")
			p.keep("mine")
			names(t, p, "mine")
			ctx, cancel := context.WithTimeout(p.ctx, time.Second)
			defer cancel()
			chromedp.Call(ctx, page.Crash, cdp.Empty{}) // there is nobody left to answer
			p.visit("")
			names(t, p, "mine")
			p.unfaulted()
		})
	}
	c.try("views kept in two tabs at once", both)
	c.try("renderer killed after a view was kept", killed)
}

// addresses gives one page one address after the other: those of choices, cut, joined and
// changed at random.
func (c *campaign) addresses(site string) {
	const few = 60
	words := []string{"session", "beside", "view", "channels", "outcome", "effort", "comparisons", "title", "laps",
		"drift", "power_exponent", "reference", "in", "out", "units", "head_s", "tail_s", "heart_rate_head_s",
		"2026-03-07-power", "2026-04-04-treadmill", "2026-03-07-power/1", "tarrow", "quenby", "speed", "power", "pace",
		"heart_rate", "power_w", "shown", "none", "linear", "imperial", "whole", "0", "1", "90", "-1", "1e9", "NaN",
		"1,2", "=", "=", "=", "&", "&", ",", "/", "%", "%00", "%FF", "%F0%9F", "<b>", "'\"", "\u202e", "\u00e4", " ",
		"#", "\\", ""}
	random := rand.New(rand.NewPCG(9, 1))
	var fragments []string
	for range max(*browserFaults, few) {
		text := ""
		for range 1 + random.IntN(12) {
			text += words[random.IntN(len(words))]
		}
		if random.IntN(3) == 0 { // one that can be read, for the most part
			text = fmt.Sprintf("session=2026-03-07-power&head_s=%d&%s", random.IntN(150), text)
		}
		fragments = append(fragments, text)
	}
	p := open(c.t, serve(c.t, site), 1280)
	p.explore("")
	published := p.text(".answer-table")
	var trials []func(t *testing.T)
	for _, fragment := range fragments {
		trials = append(trials, func(t *testing.T) {
			defer p.as(t)()
			value[bool](p, fmt.Sprintf(`(location.hash = %q, new Promise((done) => requestAnimationFrame(() =>
				requestAnimationFrame(() => done(true)))))`, fragment))
			p.until(running)
			p.unfaulted()
		})
	}
	c.try("address", trials)
	c.try("the published answer after all of them", []func(t *testing.T){func(t *testing.T) {
		defer p.as(t)()
		value[bool](p, `(location.hash = "", true)`)
		p.until(fmt.Sprintf(`document.querySelector(".answer-table").textContent === %q`, published))
	}})
}

// running is true while the explorer's program goes on and shows an answer.
const running = `document.getElementById("explorer-status").dataset.state === "running" &&
	document.querySelector("#headline").textContent !== ""`

// as makes a part of a test speak for the page, until the function returned is called.
func (p *tab) as(t *testing.T) (end func()) {
	whole := p.t
	p.t = t
	return func() { p.t = whole }
}

// anyAction does one thing that a reader can do with a control in sight: the random numbers
// choose the control, and what is done with it.
const anyAction = `((which, what) => {
	const all = [...document.querySelectorAll("main :is(button, input, select, textarea, summary)")]
		.filter((e) => !e.disabled && e.type !== "file" && e.checkVisibility());
	const one = all[Math.floor(which * all.length)];
	if (!one) return "nothing";
	const changed = () => {
		for (const kind of ["input", "change"]) one.dispatchEvent(new Event(kind, {bubbles: true}));
	};
	if (one.type === "range") {
		one.value = Number(one.min) + what * (one.max - one.min);
		changed();
	} else if (one.tagName === "SELECT") {
		one.selectedIndex = Math.floor(what * one.options.length);
		changed();
	} else if (["checkbox", "radio"].includes(one.type) || ["BUTTON", "SUMMARY"].includes(one.tagName)) {
		one.click();
	} else {
		const texts = one.type === "number" ? ["", "0", "-5", "90", "1e99"]
			: ["", "0", "-5", "90", "1e99", "4:10", "a b", "<b>", "\u202e"];
		one.value = texts[Math.floor(what * texts.length)];
		changed();
	}
	return one.id || one.tagName;
})`

// actions uses one page at random, and then opens its address in a tab of its own: the same
// address shows the same answer.
func (c *campaign) actions(site string) {
	const few = 60
	random := rand.New(rand.NewPCG(9, 2))
	p := open(c.t, serve(c.t, site), 1280)
	p.before(`HTMLAnchorElement.prototype.click = () => {}; window.print = () => {};`) // saves nothing on this machine
	p.explore("")
	var trials []func(t *testing.T)
	for range max(*browserFaults, few) {
		which, what := random.Float64(), random.Float64()
		trials = append(trials, func(t *testing.T) {
			defer p.as(t)()
			value[string](p, fmt.Sprintf("%s(%v, %v)", anyAction, which, what))
			p.until(running)
			p.unfaulted()
		})
	}
	c.try("action", trials)
	c.try("the same answer at the same address", []func(t *testing.T){func(t *testing.T) {
		defer p.as(t)()
		for _, head := range []string{"30", "90"} { // the address has the choice once the page is at rest
			p.set("#trim-head_s", head)
			p.until(fmt.Sprintf(`/[#&]head_s=%s(&|$)/.test(location.hash)`, head))
		}
		q := open(t, serve(t, site), 1280)
		q.explore(value[string](p, `location.hash`))
		q.until(fmt.Sprintf(`document.querySelector("#headline").textContent === %q`, p.text("#headline")))
	}})
}
