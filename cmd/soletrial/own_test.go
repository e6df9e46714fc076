package main_test

import (
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
