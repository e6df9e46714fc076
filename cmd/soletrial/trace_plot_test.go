package main_test

import (
	"fmt"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// widths are those of a phone and of a desk.
var widths = []int{390, 1280}

// point fires pointer events on the first element that a selector names, at
// places given in parts of its lens's width, as a finger or a mouse would.
func (p *tab) point(selector string, id int, steps ...string) {
	p.t.Helper()
	value[bool](p, fmt.Sprintf(`(() => {
		const target = document.querySelector(%q), lens = target.closest(".plot"), box = lens.getBoundingClientRect();
		for (const step of %q.split(" ")) {
			const [type, part] = step.split("@");
			target.dispatchEvent(new PointerEvent("pointer" + type, {bubbles: true, cancelable: true, pointerId: %d,
				button: type === "move" ? -1 : 0,
				clientX: box.left + part * box.width, clientY: box.top + box.height / 2}));
		}
		return true;
	})()`, selector, strings.Join(steps, " "), id))
}

// drag moves an element sideways by whole pixels as the browser's own input: with
// a finger, or with the mouse.
func (p *tab) drag(selector string, by float64, finger bool) {
	p.t.Helper()
	at := value[[]float64](p, fmt.Sprintf(`(async () => {
		document.querySelector(%q).scrollIntoView({block: "center", behavior: "instant"});
		await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
		const b = document.querySelector(%q).getBoundingClientRect();
		return [b.left + b.width / 2, b.top + b.height / 2]; })()`, selector, selector))
	if !finger {
		p.do(chromedp.MouseEvent("mousePressed", at[0], at[1], chromedp.ButtonLeft),
			chromedp.MouseEvent("mouseMoved", at[0]+by/2, at[1], chromedp.ButtonLeft),
			chromedp.MouseEvent("mouseMoved", at[0]+by, at[1], chromedp.ButtonLeft), chromedp.MouseEvent(
				"mouseReleased", at[0]+by, at[1], chromedp.ButtonLeft))
		return
	}
	p.touch(input.DispatchTouchEventTypeTouchStart, at)
	for part := 1.0; part <= 8; part++ {
		p.touch(input.DispatchTouchEventTypeTouchMove, []float64{at[0] + by*part/8, at[1]})
	}
	p.touch(input.DispatchTouchEventTypeTouchEnd)
}

// touch sends the browser one touch event with a finger at each point.
func (p *tab) touch(kind input.DispatchTouchEventType, points ...[]float64) {
	p.t.Helper()
	event := input.DispatchTouchEventParams{Type: kind, TouchPoints: []*input.TouchPoint{}}
	for i, at := range points {
		id := float64(i)
		event.TouchPoints = append(event.TouchPoints, &input.TouchPoint{X: at[0], Y: at[1], ID: &id})
	}
	if _, err := chromedp.Call(p.ctx, input.DispatchTouchEvent, event); err != nil {
		p.t.Fatal(err)
	}
}

// painted counts the dots that a canvas has in colour.
const painted = `(() => { const c = document.querySelector("figure.trace-figure canvas"),
	d = c.getContext("2d").getImageData(0, 0, c.width, c.height).data;
	let n = 0; for (let i = 3; i < d.length; i += 4) if (d[i] > 0) n++; return n; })()`

func TestLensDragsTheWindow(t *testing.T) {
	t.Parallel()
	server := serve(t, publish(t))
	for _, width := range widths {
		p := open(t, server, width)
		p.visit("#session=2026-03-07-power")
		if dots := value[int](p, painted); dots < 500 {
			t.Errorf("at %d px the traces have %d dots", width, dots)
		}
		edge := "#edge-power_w-head_s"
		value[bool](p, `(document.querySelector("`+edge+`").scrollIntoView({block: "center"}), true)`)
		place := func() (x, y float64) {
			box := value[[]float64](p, `(() => { const b = document.querySelector("`+edge+
				`").getBoundingClientRect(); return [b.left + b.width / 2, b.top + b.height / 2]; })()`)
			return box[0], box[1]
		}
		x, y := place()
		p.do(chromedp.MouseEvent("mousePressed", x, y, chromedp.ButtonLeft),
			chromedp.MouseEvent("mouseMoved", x+20, y, chromedp.ButtonLeft),
			chromedp.MouseEvent("mouseMoved", x+40, y, chromedp.ButtonLeft),
			chromedp.MouseEvent("mouseReleased", x+40, y, chromedp.ButtonLeft))
		p.until(`location.hash.includes("head_s=")`)
		moved, _ := place()
		if moved < x+35 || moved > x+45 {
			t.Errorf("at %d px the edge was dragged from %v to %v and stands at %v", width, x, x+40, moved)
		}
		at := value[string](p, `document.querySelector("`+edge+`").getAttribute("aria-valuenow")`)
		if address := value[string](p, `location.hash`); !strings.Contains(address, "head_s="+at) {
			t.Errorf("the edge says %s, the address %s", at, address)
		}
		p.unfaulted()
	}
}

func TestLensByKeyboard(t *testing.T) {
	t.Parallel()
	server := serve(t, publish(t))
	for _, width := range widths {
		t.Run(fmt.Sprint(width), func(t *testing.T) { testLensByKeyboard(t, server, width) })
	}
}

func testLensByKeyboard(t *testing.T, server *httptest.Server, width int) {
	p := open(t, server, width)
	p.visit("#session=2026-03-07-power")
	p.do(chromedp.Focus(chromedp.CSS("#edge-power_w-head_s")))
	before := value[int](p, `Number(document.activeElement.getAttribute("aria-valuenow"))`)
	p.do(chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.PageUp),
		chromedp.KeyEvent(kb.ArrowLeft))
	p.until(fmt.Sprintf(`location.hash.includes("head_s=%d")`, before+11))
	if at := value[string](p, `document.activeElement.id`); at != "edge-power_w-head_s" {
		t.Errorf("the edge lost the focus to %q", at)
	}
	p.do(chromedp.KeyEvent(kb.Tab))
	if at := value[string](p, `document.activeElement.id`); at != "edge-power_w-tail_s" {
		t.Errorf("the next tab leads to %q", at)
	}
	p.do(chromedp.KeyEvent(kb.End))
	p.until(`location.hash.includes("tail_s=0")`)
	p.do(chromedp.Focus(chromedp.CSS("#zoom-in")), chromedp.KeyEvent(kb.Enter))
	p.until(`location.hash.includes("view=")`)
	p.do(chromedp.Focus(chromedp.CSS("#zoom-all")), chromedp.KeyEvent(" "))
	p.until(`!location.hash.includes("view=")`)
	p.do(chromedp.Focus(chromedp.CSS("#cursor-slider")), chromedp.KeyEvent(kb.ArrowRight),
		chromedp.KeyEvent(kb.ArrowRight))
	p.until(`document.querySelector("#readings-table caption")?.textContent.includes("0:02 after its start")`)
	p.unfaulted()
}

// viewed is true once the address has this stretch in view, to within a second.
func viewed(from, to float64) string {
	return fmt.Sprintf(
		`(([a, b]) => Math.abs(a - %v) < 1 && Math.abs(b - %v) < 1)(
			(location.hash.match(/view=([^&]*)/)?.[1] ?? "").split(","))`,
		from, to)
}

func TestLensZoomsPansAndReads(t *testing.T) {
	t.Parallel()
	server := serve(t, publish(t))
	for _, width := range widths {
		p := open(t, server, width)
		p.visit("#session=2026-03-07-power")
		plot := ".trace-figure .plot"
		p.point(plot, 7, "move@0.5")
		p.until(`document.querySelectorAll(".plot .cursor").length === document.querySelectorAll(".plot").length`)
		if table := p.text("#readings-table"); !strings.Contains(table, "Power, W") || !strings.Contains(table,
			"2:45 after its start") {
			t.Errorf("at the middle of a block of 5:30 the table reads %q", table)
		}
		value[bool](p, `(() => { const lens = document.querySelector("`+plot+`"), b = lens.getBoundingClientRect();
			return lens.dispatchEvent(new WheelEvent("wheel", {bubbles: true, cancelable: true, ctrlKey: true,
				deltaY: -150, clientX: b.left + b.width / 2, clientY: b.top + 20})); })()`)
		p.until(viewed(82.5, 247.5))
		p.point(plot, 7, "down@0.5", "move@0.25", "up@0.25")
		p.until(viewed(123.7, 288.7))
		// Two fingers move apart about the middle.
		p.point(plot, 1, "down@0.25")
		p.point(plot, 2, "down@0.75", "move@1")
		p.point(plot, 1, "move@0", "up@0")
		p.point(plot, 2, "up@1")
		p.until(viewed(165, 247.5))
		p.unfaulted()
	}
}

func TestLensLaysSessionsOverEachOther(t *testing.T) {
	t.Parallel()
	server := serve(t, publish(t))
	for _, width := range widths {
		t.Run(fmt.Sprint(width), func(t *testing.T) { testLensLaysSessionsOverEachOther(t, server, width) })
	}
}

func testLensLaysSessionsOverEachOther(t *testing.T, server *httptest.Server, width int) {
	p := open(t, server, width)
	p.visit("#session=2026-03-07-power")
	before := value[int](p, painted)
	p.do(chromedp.Click(chromedp.CSS(".beside summary")), chromedp.Click(chromedp.CSS(".beside input")))
	p.until(`location.hash.includes("beside=")`)
	p.until(fmt.Sprintf(`%s > %d`, painted, before)) // the other session's lines are there too
	p.unfaulted("getImageData")                      // the browser's advice about reading dots twice
}

func TestExplorerMethodAndReason(t *testing.T) {
	t.Parallel()
	server := serve(t, publish(t))
	for _, width := range widths {
		t.Run(fmt.Sprint(width), func(t *testing.T) { testExplorerMethodAndReason(t, server, width) })
	}
}

func testExplorerMethodAndReason(t *testing.T, server *httptest.Server, width int) {
	p := open(t, server, width)
	p.explore("#session=2026-03-07-power")
	p.changesMore()
	p.do(chromedp.Click(chromedp.CSS("#drift")))
	p.until(`location.hash.includes("drift=none")`)
	p.set("#exponent", "0.8")
	p.until(`location.hash.includes("power_exponent=0.8")`)
	p.do(chromedp.Click(chromedp.CSS("#block-2")))
	p.until(`document.getElementById("reason-2")`)
	p.set("#reason-2", "wind, and a dog")
	p.until(`location.hash.includes("wind%2C%20and%20a%20dog")`)
	moved, address := p.text(yours), value[string](p, `location.hash`)
	other := open(t, server, width)
	other.explore(address)
	if linked := other.text(yours); linked != moved || !strings.Contains(linked, "%") {
		t.Errorf("the linked reading gives %q, the one it was copied from %q", linked, moved)
	}
	if reason := value[string](other, `document.getElementById("reason-2").value`); reason != "wind, and a dog" {
		t.Errorf("the reason reads %q", reason)
	}
	p.do(chromedp.Click(chromedp.CSS("#do-undo")))
	p.until(`!location.hash.includes("dog")`)
	p.do(chromedp.Click(chromedp.CSS("#do-reset")))
	p.until(`location.hash === "#session=2026-03-07-power"`)
	p.unfaulted()
	other.unfaulted()
}

// On a phone, by the browser's own touch: the edge of the window follows the
// finger, one finger moves a zoomed trace, two bring it closer, and one that moves
// down scrolls the page.
func TestLensByTouch(t *testing.T) {
	t.Parallel()
	p := open(t, serve(t, publish(t)), 390)
	p.visit("#session=2026-03-07-power")
	p.drag("#edge-power_w-head_s", 50, true)
	p.until(`/head_s=\d+/.test(location.hash)`)
	p.do(chromedp.Click(chromedp.CSS("#zoom-in")))
	p.until(viewed(82.5, 247.5))
	p.drag(".trace-figure .plot", -60, true)
	p.until(`Number(location.hash.match(/view=([\d.]+)/)?.[1] ?? 0) > 90`)
	box := value[[]float64](p,
		`(() => { const b = document.querySelector(".trace-figure .plot").getBoundingClientRect();
			return [b.left, b.top + b.height / 3, b.width]; })()`)
	at := func(part float64) []float64 { return []float64{box[0] + part*box[2], box[1]} }
	p.touch(input.DispatchTouchEventTypeTouchStart, at(0.4), at(0.6))
	for step := 1.0; step <= 4; step++ {
		p.touch(input.DispatchTouchEventTypeTouchMove, at(0.4-0.05*step), at(0.6+0.05*step))
	}
	p.touch(input.DispatchTouchEventTypeTouchEnd)
	p.until(`(([a, b]) => b - a < 140)((location.hash.match(/view=([^&]*)/)?.[1] ?? "0,999").split(",").map(Number))`)
	before := value[float64](p, `scrollY`)
	hash := value[string](p, `location.hash`)
	p.touch(input.DispatchTouchEventTypeTouchStart, at(0.5))
	for step := 1.0; step <= 8; step++ {
		p.touch(input.DispatchTouchEventTypeTouchMove, []float64{at(0.5)[0], box[1] - 15*step})
	}
	p.touch(input.DispatchTouchEventTypeTouchEnd)
	p.until(fmt.Sprintf(`scrollY > %v`, before+20))
	if now := value[string](p, `location.hash`); now != hash {
		t.Errorf("scrolling the page moves the view from %s to %s", hash, now)
	}
	p.unfaulted()
}

// pick chooses the next entry of a list by keyboard and returns its value.
func (p *tab) pick(id string) string {
	p.t.Helper()
	p.do(chromedp.Focus(chromedp.CSS("#"+id)), chromedp.KeyEvent(kb.ArrowDown))
	return value[string](p, `document.getElementById("`+id+`").value`)
}

// What is compared and at which effort, and which traces are shown.
func TestExplorerChoosesWhatIsShown(t *testing.T) {
	t.Parallel()
	server := serve(t, publish(t))
	for _, width := range widths {
		p := open(t, server, width)
		p.explore("#session=2026-03-07-power")
		groups := func() string {
			return value[string](p,
				`[...document.querySelectorAll("#comparison-table tr.level")].map((e) => e.textContent).join("; ")`)
		}
		p.do(chromedp.Click(chromedp.CSS("#plain")))
		p.until(`document.querySelector("#comparison-table tr.level")`)
		before := groups()
		value[bool](p, `document.getElementById("more").open = true`)
		level := p.pick("choose-effort")
		p.until(`location.hash.includes("effort=")`)
		if now := groups(); now == before || level == "" {
			t.Errorf("at %d px and level %q the table is about %q, before %q", width, level, now, before)
		}
		outcome := p.pick("choose-outcome")
		p.until(`location.hash.includes("outcome=` + outcome + `")`)
		p.do(chromedp.Click(chromedp.CSS("#channel-heart_rate_bpm")))
		p.until(
			`location.hash.includes("channels=") &&
				document.querySelectorAll("figure.trace-figure canvas").length === 3`,
		)
		session := value[string](p, `(() => { const s = document.getElementById("choose-session");
			s.selectedIndex = 0; s.dispatchEvent(new Event("change", {bubbles: true})); return s.value; })()`)
		p.until(`location.hash.includes("session=` + session + `")`)
		if status := p.status(); !strings.Contains(status, "identical") {
			t.Errorf("at %d px looking at something else is another reading: %q", width, status)
		}
		p.unfaulted()
	}
}

// Who turns to dark colours while the explorer is open sees the lines in them.
func TestTraceTurnsDark(t *testing.T) {
	t.Parallel()
	p := open(t, serve(t, publish(t)), 1280)
	p.see(look{1280, "light"})
	p.explore("") // until nothing is drawn by itself any more
	const drawn = `document.querySelector("canvas").toDataURL()`
	p.until(`document.querySelector("canvas")?.width > 300`)
	light := value[string](p, drawn)
	p.see(look{1280, "dark"})
	p.until(drawn + " !== `" + light + "`")
	p.unfaulted()
}
