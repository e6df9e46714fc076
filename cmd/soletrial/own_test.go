package main_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

func TestExplorerKeepsViews(t *testing.T) {
	server := serve(t, publish(t))
	for _, width := range widths {
		p := open(t, server, width)
		p.explore("#session=2026-03-07-power&head_s=90&drift=none")
		p.set("#view-name", "Späte Fenster <b>")
		p.do(chromedp.KeyEvent(kb.Tab), chromedp.KeyEvent(kb.Enter))
		p.until(`document.getElementById("open-1")`)
		p.do(chromedp.Click(chromedp.CSS("#do-reset")))
		p.until(`location.hash === "#session=2026-03-07-power"`)
		p.do(chromedp.Navigate(p.root+"index.html"), chromedp.Navigate(p.root+"explorer/"))
		p.settled()
		if name := p.text("#open-1"); name != "Späte Fenster <b>" {
			t.Errorf("after a reload the view is called %q", name)
		}
		p.do(chromedp.Click(chromedp.CSS("#open-1")))
		p.until(`location.hash === "#session=2026-03-07-power&head_s=90&drift=none"`)
		p.do(chromedp.Click(chromedp.CSS("#drop-1")))
		p.until(`!document.getElementById("open-1")`)
		p.until(`/is deleted/.test(document.getElementById("explorer-status").textContent)`)
		p.do(chromedp.Navigate(p.root+"index.html"), chromedp.Navigate(p.root+"explorer/"))
		p.settled()
		if value[bool](p, `document.getElementById("open-1") !== null`) {
			t.Error("a deleted view comes back")
		}
		p.unfaulted()
	}
}

func TestExplorerViewsWithoutStorage(t *testing.T) {
	p := open(t, serve(t, publish(t)), 1280)
	p.lacks("indexedDB")
	p.explore("")
	p.set("#view-name", "x")
	p.do(chromedp.Click(chromedp.CSS("#do-keep")))
	p.until(`document.getElementById("open-1")`)
	p.until(`/until this page is closed/.test(document.getElementById("explorer-status").textContent)`)
	if strings.Contains(p.status(), "kept in this browser") {
		t.Errorf("the status line reads %q", p.status())
	}
	p.unfaulted()
}

// requests is how many requests the page has made so far.
func (p *tab) requests() int {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.asked
}

// give chooses a file in the file input, as a person would, or drops it on the page.
func (p *tab) give(name, content string, drop bool) {
	p.t.Helper()
	value[bool](p, fmt.Sprintf(`(() => {
		const give = new DataTransfer();
		give.items.add(new File([%q], %q));
		if (%v) return document.querySelector("h1").dispatchEvent(new DragEvent("drop", {bubbles: true, cancelable: true, dataTransfer: give})) || true;
		const input = document.getElementById("own-file");
		input.files = give.files;
		return input.dispatchEvent(new Event("change", {bubbles: true}));
	})()`, content, name, drop))
}

// stored is true once what the browser keeps under a key ends in a text, or is
// empty where none is given.
func stored(key, ending string) string {
	return fmt.Sprintf(`await new Promise(async (done) => {
		const name = (await indexedDB.databases()).find((d) => d.name.startsWith("soletrial ")).name;
		const open = indexedDB.open(name);
		open.onsuccess = () => {
			const get = open.result.transaction("own").objectStore("own").get(%q);
			get.onsuccess = () => { open.result.close(); const text = new TextDecoder().decode(get.result); done(%q === "" ? text === "" : text.endsWith(%q)); };
		};
	})`, key, ending, ending)
}

func TestExplorerOwnRecordingStaysHere(t *testing.T) {
	site := publish(t)
	recording, err := os.ReadFile(filepath.Join(site, "data/sessions/2026-03-07-power/footpod.csv"))
	if err != nil {
		t.Fatal(err)
	}
	server := serve(t, site)
	for _, width := range widths {
		p := open(t, server, width)
		p.explore("")
		p.until(`navigator.serviceWorker.controller`)
		before := p.requests()
		p.give("bad.csv", "elapsed_s,power_w\n0,a lot\n", false)
		p.until(`/bad.csv:2/.test(document.getElementById("explorer-status").textContent)`)
		p.give("<b>mine</b>.csv", string(recording), width == 390)
		p.until(`document.getElementById("own-blocks")`)
		p.set("#own-target", "270")
		// By keyboard: from the target on, cell by cell.
		for _, cell := range []string{"Red", "600", "15:00", "Blue", "1140", "24:00", "Blue", "28:00", "2000", "Red", "37:00", "2520"} {
			for value[string](p, `document.activeElement.tagName === "INPUT" && document.activeElement.id !== "own-target" && document.activeElement.value === "" ? "empty" : ""`) == "" {
				p.do(chromedp.KeyEvent(kb.Tab))
			}
			p.do(chromedp.KeyEvent(cell))
		}
		p.until(`/Red|Blue/.test(document.getElementById("own-headline")?.textContent ?? "")`)
		if words := p.text("#own-table tbody"); !strings.Contains(words, "against") || !strings.Contains(words, "%") {
			t.Errorf("at %d px the comparison reads %q", width, words)
		}
		if across := value[int](p, `document.documentElement.scrollWidth`); across > width {
			t.Errorf("at %d px the page is %d px wide", width, across)
		}
		if after := p.requests(); after != before {
			t.Errorf("at %d px a recording of one's own costs %d requests", width, after-before)
		}
		words := p.text("#own-table")
		p.until(stored("recording cut", "2520"))
		p.do(chromedp.Navigate(p.root+"index.html"), chromedp.Navigate(p.root+"explorer/"))
		p.settled()
		p.until(`document.getElementById("own-table")`)
		if again := p.text("#own-table"); again != words {
			t.Errorf("after a reload the comparison reads %q, before %q", again, words)
		}
		p.do(chromedp.Click(chromedp.CSS("#do-own-forget")))
		p.until(`!document.getElementById("own-blocks")`)
		p.until(stored("recording", ""))
		p.do(chromedp.Navigate(p.root+"index.html"), chromedp.Navigate(p.root+"explorer/"))
		p.settled()
		if value[bool](p, `document.getElementById("own-blocks") !== null`) {
			t.Error("a deleted recording comes back")
		}
		p.unfaulted()
	}
}
