package main_test

import (
	"slices"
	"testing"
	"time"

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
}

// firstTouch opens the explorer on a fresh profile, moves the slider as soon as it is there, and
// returns the seconds to usable controls and to the first changed number.
func firstTouch(t testing.TB, root func() *tab, times float64) (usable, changed float64) {
	p := root()
	p.slowed(times)
	from := time.Now()
	p.do(chromedp.Navigate(p.root + "explorer/"))
	p.until(`document.getElementById("trim-head_s-slider") &&
		document.getElementById("explorer-status").dataset.state === "running"`)
	usable = time.Since(from).Seconds()
	changed = value[float64](p, `new Promise((done) => {
		const slider = document.getElementById("trim-head_s-slider");
		const before = document.querySelector(".answer-table").textContent;
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
