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

// state is one way the explorer can look, and how a reader gets there from the
// address that it starts at.
type state struct {
	name, fragment string
	reach          func(p *tab)
	alone          bool // nothing is derived but what the explorer derives by itself
}

// states covers everything the explorer can show.
func states(recording string) []state {
	return []state{
		{name: "not yet derived", reach: func(p *tab) {
			p.until(`document.getElementById("blocks-table")`) // the session shown is fetched all the same
			if status := p.status(); !strings.HasPrefix(status, "Published numbers, checked.") {
				p.t.Errorf("on a first visit the status line reads %q", status)
			}
		}, alone: true}, // before all others: what they fetch is kept
		{name: "start", reach: func(*tab) {}},
		{name: "changed", fragment: "#session=2026-03-07-power&head_s=90", reach: func(p *tab) {
			p.do(chromedp.Click(chromedp.CSS("#block-2")), chromedp.Click(chromedp.CSS(".beside summary")))
			p.until(`document.getElementById("reason-2")`)
			p.point(".trace-figure .plot", 7, "move@0.5")
			p.until(`document.getElementById("readings-table")`)
			p.set("#view-name", "Späte Fenster")
			p.do(chromedp.Click(chromedp.CSS("#do-keep")))
			p.until(`document.getElementById("open-1")`)
		}},
		{name: "by hand", fragment: "#session=2026-04-04-treadmill", reach: func(*tab) {}},
		{name: "refused recording", fragment: "", reach: func(p *tab) {
			p.give("bad.csv", "elapsed_s,power_w\n0,a lot\n", false)
			p.until(`/bad.csv:2/.test(document.getElementById("explorer-status").textContent)`)
		}},
		{name: "own recording", fragment: "", reach: func(p *tab) {
			p.give("mine.csv", recording, false)
			p.until(`document.getElementById("own-blocks")`)
		}},
		{name: "own answer", fragment: "", reach: func(p *tab) {
			p.until(`document.getElementById("do-own-forget")`)
			p.do(chromedp.Click(chromedp.CSS("#do-own-forget"))) // the recording of the state before
			p.until(`!document.getElementById("own-blocks")`)
			p.give("mine.csv", recording, false)
			p.until(`document.getElementById("own-blocks")`)
			for id, text := range map[string]string{"target": "270", "shoe-1": "Red", "start-1": "600",
				"end-1": "900", "shoe-2": "Blue", "start-2": "1140", "end-2": "1440"} {
				p.set("#own-"+id, text)
			}
			p.until(`document.getElementById("own-table")`)
		}},
	}
}

// TestExplorerStates publishes the demonstration once and looks at the explorer in
// every state in one tab.
func TestExplorerStates(t *testing.T) {
	t.Parallel()
	site, folder := publish(t), t.TempDir()
	recording, err := os.ReadFile(filepath.Join(site, "data/sessions/2026-03-07-power/foot_sensor.csv"))
	if err != nil {
		t.Fatal(err)
	}
	p := open(t, serve(t, site), 1280)
	p.watchPolicy()
	program := axe(t)
	for i, s := range states(string(recording)) {
		p.part(s.name, func() {
			p.do(chromedp.Navigate("about:blank"))
			if s.alone {
				defer p.savesData()()
			}
			if p.do(chromedp.Navigate(p.root + "explorer/" + s.fragment)); s.alone {
				p.arrived()
			} else {
				p.settled()
			}
			s.reach(p)
			p.unfold()
			p.accessible(program, "explorer, "+s.name)
			p.reflows("explorer, " + s.name)
			p.see(look{1280, "light"})
			p.heard("explorer, " + s.name)
			p.still("explorer, " + s.name)
			p.unforbidden(s.name)
			markup := "<!DOCTYPE html>\n" + value[string](p, `document.documentElement.outerHTML`)
			if err := os.WriteFile(filepath.Join(folder, fmt.Sprintf("%d-%s.html", i, s.name)), []byte(markup),
				0o644); err != nil {
				p.t.Fatal(err)
			}
			p.walked("explorer, " + s.name)
		})
	}
	p.part("on a phone", p.showsWhatMoves)
	p.part("valid", func() {
		for _, fault := range invalid(p.t, elementRules, folder) {
			p.t.Error(fault)
		}
	})
	p.unfaulted("getImageData")
}

// Someone who moves a slider on a phone sees what it does, and the slider.
func (p *tab) showsWhatMoves() {
	p.t.Helper()
	p.see(look{390, "light"})
	p.do(chromedp.Navigate("about:blank"))
	p.visit("")
	before := p.text(".answer-figure")
	p.do(chromedp.Focus(chromedp.CSS("#trim-head_s-slider")), chromedp.KeyEvent(kb.PageUp),
		chromedp.KeyEvent(kb.PageUp))
	p.until(`/your version/.test(document.querySelector(".answer-figure").textContent)`)
	if after := p.text(".answer-figure"); !strings.Contains(before, "as published") || strings.Count(after, "%") < 3 {
		p.t.Errorf("what moves is shown as %q, before as %q", after, before)
	}
	for _, id := range []string{"trim-head_s-slider", "do-reset"} {
		places := value[[]float64](p, `(() => { const e = document.getElementById("`+id+`"); e.blur(); e.focus();
			const figure = document.querySelector(".answer-figure").getBoundingClientRect();
			return [e.getBoundingClientRect().top, figure.bottom, e.getBoundingClientRect().bottom, figure.top]; })()`)
		if places[0] < places[1] || places[2] > 900 || places[3] < 0 {
			p.t.Errorf("at %s: the control begins at %v px and ends at %v, the figure is from %v to %v px",
				id, places[0], places[2], places[3], places[1])
		}
	}
}
