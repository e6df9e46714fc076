package main_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// slowed makes the page's processor so many times slower.
func (p *tab) slowed(times float64) {
	p.t.Helper()
	if _, err := chromedp.Call(p.ctx, emulation.SetCPUThrottlingRate,
		emulation.SetCPUThrottlingRateParams{Rate: times}); err != nil {
		p.t.Fatal(err)
	}
}

// leave ends the page's browser before the test ends.
func (p *tab) leave() {
	p.t.Helper()
	if err := chromedp.Cancel(p.ctx); err != nil {
		p.t.Fatal(err)
	}
}

// firstTouch opens the explorer on a fresh profile, moves the slider as soon as it is there, and
// returns the seconds to usable controls and to the first changed number. It closes the browser
// again: the explorer works on for seconds, and would take the processor from the next visit.
func firstTouch(t testing.TB, root func() *tab, times float64) (usable, changed float64) {
	p := root()
	defer p.leave()
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

// A slider stays where it was left, whatever is fetched and recomputed meanwhile: fifty drags
// with the mouse and fifty keys, from the first moment of a first visit on.
func TestSliderStaysWhereItWasLeft(t *testing.T) {
	t.Parallel()
	server := serve(t, publish(t))
	for _, width := range widths {
		p := open(t, server, width)
		p.do(chromedp.Navigate(p.root + "explorer/"))
		p.arrived()
		value[bool](p, `(() => { window.left = []; const slider = document.getElementById("trim-head_s-slider");
			slider.scrollIntoView({block: "center", behavior: "instant"});
			slider.addEventListener("change", () => left.push(slider.value)); return true; })()`)
		box := value[[]float64](p, `(() => { const b = document.getElementById("trim-head_s-slider")
			.getBoundingClientRect(); return [b.left + 10, b.width - 20, b.top + b.height / 2]; })()`)
		at, y := box[0]+box[1]*0.2, box[2]
		p.do(chromedp.MouseEvent("mousePressed", at, y, chromedp.ButtonLeft),
			chromedp.MouseEvent("mouseReleased", at, y, chromedp.ButtonLeft))
		for i := range 50 {
			to := box[0] + box[1]*(0.05+0.6*float64(i*17%50)/50)
			p.do(chromedp.MouseEvent("mousePressed", at, y, chromedp.ButtonLeft),
				chromedp.MouseEvent("mouseMoved", (at+to)/2, y, chromedp.ButtonLeft),
				chromedp.MouseEvent("mouseMoved", to, y, chromedp.ButtonLeft),
				chromedp.MouseEvent("mouseReleased", to, y, chromedp.ButtonLeft))
			at = to
			p.staysAsLeft(fmt.Sprintf("after drag %d", i+1))
		}
		p.do(chromedp.Focus(chromedp.CSS("#trim-head_s-slider")))
		before := value[int](p, `Number(document.getElementById("trim-head_s-slider").value)`)
		for i := range 50 {
			p.do(chromedp.KeyEvent(kb.ArrowRight))
			p.staysAsLeft(fmt.Sprintf("after key %d", i+1))
		}
		p.until(fmt.Sprintf(`location.hash.includes("head_s=%d")`, before+50))
		p.until(`document.getElementById("proof-table")`) // everything is fetched and recomputed
		p.staysAsLeft("once everything is there")
		if n := value[int](p, `left.length`); n < 90 {
			t.Errorf("at %d px the slider was left %d times", width, n)
		}
		p.unfaulted()
	}
}

// staysAsLeft checks that the slider and the field beside it show what the slider was left at,
// now and two pictures later.
func (p *tab) staysAsLeft(when string) {
	p.t.Helper()
	seen := value[[]string](p, `(async () => { const slider = document.getElementById("trim-head_s-slider"),
			wanted = left.at(-1), now = slider.value;
		await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
		return [wanted, now, slider.value, document.getElementById("trim-head_s").value]; })()`)
	if seen[1] != seen[0] || seen[2] != seen[0] || seen[3] != seen[0] {
		p.t.Fatalf("%s the slider was left at %s; it showed %s, then %s with %s beside it", when, seen[0], seen[1],
			seen[2], seen[3])
	}
}
