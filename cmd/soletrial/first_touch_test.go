package main_test

import (
	"fmt"
	"os"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// slowed makes the page's processor so many times slower.
func (p *tab) slowed(times float64) {
	p.t.Helper()
	if _, err := chromedp.Call(p.ctx, emulation.SetCPUThrottlingRate,
		emulation.SetCPUThrottlingRateParams{Rate: times}); err != nil {
		p.t.Fatal(err)
	}
	_ = cdp.Empty{}
}

// firstTouch opens the explorer on a fresh profile, moves the slider as soon as it is there, and
// returns the seconds to usable controls and to the first changed number.
func firstTouch(t testing.TB, root func() *tab, times float64) (usable, changed float64) {
	p := root()
	p.slowed(times)
	from := time.Now()
	p.do(chromedp.Navigate(p.root + "explorer/"))
	p.until(
		`document.getElementById("trim-head_s-slider") && document.getElementById("explorer-status").dataset.state === "running"`,
	)
	usable = time.Since(from).Seconds()
	changed = value[float64](p, `new Promise((done) => {
		const slider = document.getElementById("trim-head_s-slider"), before = document.querySelector(".answer-table").textContent;
		const from = performance.now();
		slider.value = 90;
		slider.dispatchEvent(new Event("input", {bubbles: true}));
		const look = () => document.querySelector(".answer-table").textContent !== before
			? done(performance.now() - from) : requestAnimationFrame(look);
		look(); })`) / 1000
	return usable, changed
}

// BenchmarkExplorerFirstTouch is a first visit with the processor four times slower: the time
// to usable controls, and from the first move of the slider to the first changed number;
// medians of five.
func BenchmarkExplorerFirstTouch(b *testing.B) {
	site := publish(b)
	var usable, changed []float64
	for b.Loop() {
		for len(usable) < 5 {
			u, c := firstTouch(b, func() *tab { return open(b, serve(b, site), 390) }, 4)
			usable, changed = append(usable, u), append(changed, c)
		}
	}
	slices.Sort(usable)
	slices.Sort(changed)
	b.ReportMetric(usable[2], "s/usable")
	b.ReportMetric(changed[2], "s/first-number")
}

func TestExplorerShots(t *testing.T) {
	folder := os.Getenv("SHOTS")
	if folder == "" {
		t.Skip("no SHOTS")
	}
	server := serve(t, publish(t))
	for _, width := range []int{390, 1280} {
		p := open(t, server, width)
		p.do(chromedp.EmulateViewport(int64(width), 844))
		p.do(chromedp.Navigate(p.root + "explorer/"))
		p.arrived()
		time.Sleep(300 * time.Millisecond)
		view := func(name string) {
			picture, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
			if err != nil {
				t.Fatal(err)
			}
			os.WriteFile(fmt.Sprintf("%s/%s-%d.png", folder, name, width), picture, 0o644)
		}
		view("first")
		p.set("#trim-head_s", "150")
		p.until(`location.hash.includes("head_s=150")`)
		view("changed")
		p.settled()
		p.do(chromedp.Click(chromedp.CSS("#do-try")))
		p.until(`document.getElementById("try-table")`)
		time.Sleep(300 * time.Millisecond)
		shoot(p, fmt.Sprintf("%s/all-%d.png", folder, width))
		t.Log(p.status(), value[string](p, `document.querySelector("#try-result").textContent`))
	}
}
