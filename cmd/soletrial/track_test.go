package main_test

import (
	"context"
	"fmt"
	"io/fs"
	"math"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
	"soletrial/viewer/bundle"
)

// plannedSession is what is planned for the track, of the invented demonstration.
const plannedSession = "2026-06-06-power"

// publishPlanned publishes the demonstration with one session planned, of two shoes
// in eight blocks.
func publishPlanned(t testing.TB) string {
	t.Helper()
	_, site := planAndPublish(t)
	return site
}

// planAndPublish does so and returns the dataset's folder too, both of its own.
func planAndPublish(t testing.TB) (dataset, site string) {
	t.Helper()
	if !bundle.Built() {
		lacking(t, "the viewer is not built into this test: run make viewer")
	}
	planned.once.Do(func() { planned.dataset, planned.site = planDemonstration(t) })
	if planned.site == nil {
		t.Fatal("the planned session could not be published")
	}
	folder := t.TempDir()
	dataset, site = filepath.Join(folder, "data"), filepath.Join(folder, "public")
	for path, files := range map[string]fs.FS{dataset: planned.dataset, site: planned.site} {
		if err := os.CopyFS(path, files); err != nil {
			t.Fatal(err)
		}
	}
	return dataset, site
}

// planned is the demonstration with a session planned, and its site, in memory, so that
// they outlive the test that makes them.
var planned struct {
	once          sync.Once
	dataset, site fs.FS
}

// planDemonstration plans short blocks, for tests that wait until they are over.
func planDemonstration(t testing.TB) (dataset, site fs.FS) {
	t.Helper()
	folder := t.TempDir()
	data, public := filepath.Join(folder, "data"), filepath.Join(folder, "public")
	if err := os.CopyFS(data, os.DirFS("../../data")); err != nil {
		t.Fatal(err)
	}
	run(t, "-d", data, "plan", "-s", plannedSession, "--shoes", "fennock,quenby", "--target", "268", "--blocks", "8",
		"--block", "3m", "--venue", "millmere-hall", "--seed", "1")
	run(t, "-d", data, "derive")
	run(t, "-d", data, "publish", "-o", public)
	return readFolder(t, data), readFolder(t, public)
}

// fast is how many times as fast as real the clocks of the page run in these tests.
const fast = 60

// runtimeClock leaves the clock of Go's runtime as it is, whatever a test does to the
// clocks of the page: on a fast one, what waits for the browser would give up too early.
const runtimeClock = `(() => {
	const real = performance.now.bind(performance);
	let Go;
	Object.defineProperty(globalThis, "Go", {
		get: () => Go,
		set: (Plain) => { Go = class extends Plain {
			constructor() {
				super();
				this.importObject.gojs["runtime.nanotime1"] = (sp) =>
					this.mem.setBigInt64((sp >>> 0) + 8, BigInt(Math.round(1e12 + 1e6 * real())), true);
			}
		}; },
	});
})();`

// fastClock makes both clocks of a page run fast from one moment on, the same for
// every page of the browser, and lets a test set the clock on the wall.
const fastClock = runtimeClock + `(() => {
	const real = Date.now.bind(Date), mono = performance.now.bind(performance), Real = Date;
	const began = %d, fast = %d, opened = real();
	const shift = () => Number(sessionStorage.getItem("shift") || 0);
	const wall = () => began + (real() - began) * fast + shift();
	performance.now = () => mono() * fast;
	Date = class extends Real {
		constructor(...a) { a.length ? super(...a) : super(wall()); }
		static now() { return wall(); }
	};
	window.setTheClock = (seconds) => sessionStorage.setItem("shift", shift() + 1000 * seconds);
})()`

// phone is a tab on a phone at the track, with when what was tapped, by the phone's
// clock: the milliseconds before and after each tap of an element.
type phone struct {
	*tab
	size [2]int
	taps map[string][][2]int64
}

// atTrack makes a phone of the given size, its clocks running fast.
func atTrack(t testing.TB, server *httptest.Server, width, height int) *phone {
	t.Helper()
	p := &phone{tab: open(t, server, width), size: [2]int{width, height}, taps: map[string][][2]int64{}}
	p.hold()
	p.before(fmt.Sprintf(fastClock, time.Now().UnixMilli(), fast))
	return p
}

// hold makes the window that of the phone.
func (p *phone) hold() {
	p.do(chromedp.EmulateViewport(int64(p.size[0]), int64(p.size[1]), chromedp.EmulateMobile, chromedp.EmulateTouch))
}

// tap taps an element as a finger does, once it is there and the page takes taps.
func (p *phone) tap(id string) {
	p.t.Helper()
	p.until(`document.getElementById("` + id + `")`)
	time.Sleep(30 * time.Millisecond) // a second and more on the fast clocks
	p.until(`(() => { const b = document.getElementById("` + id + `"); b.scrollIntoView({block: "nearest"});
		const r = b.getBoundingClientRect(); const e = document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2);
		return b === e || b.contains(e); })()`)
	at := value[[]float64](p.tab, `(() => { const r = document.getElementById("`+id+`").getBoundingClientRect();
		return [r.x + r.width / 2, r.y + r.height / 2]; })()`)
	before := value[int64](p.tab, `Date.now()`)
	for _, touch := range []input.DispatchTouchEventParams{
		{Type: "touchStart", TouchPoints: []*input.TouchPoint{{X: at[0], Y: at[1]}}}, {Type: "touchEnd",
			TouchPoints: []*input.TouchPoint{}},
	} {
		if _, err := chromedp.Call(p.ctx, input.DispatchTouchEvent, touch); err != nil {
			p.t.Fatal(err)
		}
	}
	p.taps[id] = append(p.taps[id], [2]int64{before, value[int64](p.tab, `Date.now()`)})
}

// heading waits for a heading that starts with the text.
func (p *phone) heading(text string) {
	p.t.Helper()
	p.until(`document.getElementById("now")?.textContent.startsWith("` + text + `")`)
}

// fill types into a field.
func (p *phone) fill(field, text string) {
	p.t.Helper()
	p.do(chromedp.SetValue(chromedp.ID("field-"+field), text))
	value[bool](p.tab, `document.getElementById("field-`+field+`").dispatchEvent(new Event("input", {bubbles: true}))`)
}

// logText is the text of the log as the page shows it.
func (p *phone) logText() string {
	p.t.Helper()
	p.tap("text")
	p.heading("fieldlog.yaml")
	text := p.text("#log")
	p.tap("back")
	return text
}

// log reads the text of the log by the strict reader.
func (p *phone) log() *trial.FieldLog {
	p.t.Helper()
	return readLog(p.t, p.logText())
}

func readLog(t testing.TB, text string) *trial.FieldLog {
	t.Helper()
	node, problems := yamltext.Parse([]byte(text), "fieldlog.yaml")
	if len(problems) == 0 {
		var log *trial.FieldLog
		if log, problems = plaintext.ReadFieldLog(node, nil); len(problems) == 0 {
			return log
		}
	}
	t.Fatalf("the log reads with %v:\n%s", problems, text)
	return nil
}

// fits checks what every screen must be: no wider than the phone, and every target at
// least 64 CSS pixels both ways.
func (p *phone) fits(where string) {
	p.t.Helper()
	const over = `document.documentElement.scrollWidth - document.documentElement.clientWidth`
	if wide := value[int](p.tab, over); wide > 0 {
		p.t.Errorf("%s: %d pixels stand out at the side", where, wide)
	}
	for _, small := range value[[]string](p.tab, `[...document.querySelectorAll("button, input, a")].filter((e) => {
		const r = e.getBoundingClientRect();
		return r.width > 0 && (r.width < 63.5 || r.height < 63.5);
	}).map((e) => e.id + ": " + e.textContent)`) {
		p.t.Errorf("%s: %q is smaller than 64 pixels", where, small)
	}
}

// phase is a screen of the walk: the word for it, and the block it is about.
type phase struct {
	word  string
	block int
}

// walk taps through the whole planned session, which is open at its first screen;
// each is called at every screen.
func (p *phone) walk(each func(phase)) {
	p.t.Helper()
	p.heading("At the track")
	each(phase{"home", 0})
	p.tap("plan-" + plannedSession)
	p.heading("Weigh")
	each(phase{"weigh", 0})
	p.fill("left", "213")
	p.fill("right", "215,5")
	p.tap("keep")
	p.until(`document.getElementById("field-left")?.value === ""`)
	p.tap("pass")
	p.heading("How is the weather")
	each(phase{"weather", 0})
	p.fill("air", "12")
	p.tap("keep")
	p.heading("Where is the foot sensor")
	each(phase{"sensor", 0})
	p.tap("pass")
	p.heading("Warm up")
	each(phase{"warm-up", 0})
	p.tap("warm-start")
	p.heading("Warm-up")
	each(phase{"warming", 0})
	p.tap("warm-end")
	for block := 1; block <= 8; block++ {
		p.block(block, each)
	}
	p.heading("All blocks are run")
	each(phase{"closing", 0})
	p.tap("keep")
	p.heading("The log is complete")
	each(phase{"done", 0})
}

// block taps through one block, which is run to its planned end.
func (p *phone) block(block int, each func(phase)) {
	p.t.Helper()
	p.until(`document.getElementById("start")`)
	each(phase{"change", block})
	p.tap("start")
	p.until(`document.getElementById("end")`)
	p.tap("lap")
	p.until(`document.getElementById("lap").textContent === "Lap: 1"`)
	each(phase{"running", block})
	p.until(`document.querySelector(".of").textContent.startsWith("over")`)
	p.tap("end")
	p.until(`document.getElementById("signal") || document.getElementById("exertion-0")`)
	if value[bool](p.tab, `document.getElementById("signal") !== null`) {
		each(phase{"late", block})
		p.tap("tap")
	}
	p.heading("How hard")
	each(phase{"exertion", block})
	p.tap("exertion-7")
	p.heading("How comfortable")
	each(phase{"comfort", block})
	p.tap("comfort")
	p.tap("keep")
	p.heading("Anything to note")
	each(phase{"note", block})
	p.tap("pass")
}

// The two ways a phone is held.
var phones = [][2]int{{360, 640}, {844, 390}}

// A whole session of eight blocks by taps, without a network: the page is reloaded in
// the middle of a block, its renderer is killed in another, and the phone's clock jumps
// by an hour. The log is complete to the tap.
func TestTrackWholeSession(t *testing.T) {
	dataset, site := planAndPublish(t)
	for _, size := range phones {
		t.Run(fmt.Sprint(size[0]), func(t *testing.T) {
			t.Parallel()
			testTrackWholeSession(t, dataset, site, size)
		})
	}
}

func testTrackWholeSession(t *testing.T, dataset, site string, size [2]int) {
	server := serve(t, site)
	p := atTrack(t, server, size[0], size[1])
	p.do(chromedp.Navigate(p.root + "track/#" + plannedSession))
	p.heading("At the track")
	p.until(keptOffline)
	server.Close()
	p.do(chromedp.Reload())
	p.walk(func(at phase) {
		p.fits(at.word)
		if at.word != "running" {
			return
		}
		shoe := p.text("#now")
		switch at.block {
		case 3:
			p.do(chromedp.Reload())
		case 5:
			p.crash()
		case 6:
			value[any](p.tab, `setTheClock(3600)`)
			time.Sleep(300 * time.Millisecond) // a tick of the page sees it
		}
		p.until(`document.getElementById("end") && document.getElementById("now").textContent === ` +
			fmt.Sprintf("%q", shoe))
	})
	log := p.log()
	if len(log.Blocks) != 8 || log.Ended == "" || len(log.Deviations) != 0 || log.Plan.Source != trial.PlanOfDataset {
		t.Fatalf("the log holds %d blocks, ends at %q, %+v, %q", len(log.Blocks), log.Ended, log.Deviations,
			log.Plan.Source)
	}
	for i, b := range log.Blocks {
		for tap, at := range map[[2]int64]string{p.taps["start"][i]: b.Start, p.taps["end"][i]: b.End} {
			if ms := int64(moment(t, at) * 1000); ms < tap[0]-100 || ms > tap[1]+100 {
				t.Errorf("block %s: %s is not between %v and %v, when it was tapped", b.Block, at, tap[0], tap[1])
			}
		}
		if b.Shoe != log.Plan.Order[i] || b.Laps != 1 || b.RPE != 7 || !(b.ComfortMm > 40 && b.ComfortMm < 60) {
			t.Errorf("block %s is %+v", b.Block, b)
		}
		hour := 0.0
		if i == 5 {
			hour = 3600
		}
		if run, wall := b.EndS-b.StartS, moment(t, b.End)-moment(t, b.Start); math.Abs(run+hour-wall) > 1 {
			t.Errorf("block %s has %v s by the stopwatch and %v s by the clock", b.Block, run, wall)
		}
	}
	var kinds []string
	for _, change := range log.Clock {
		kinds = append(kinds, change.Kind)
		if change.Kind == trial.ClockSet && math.Abs(change.ByS-3600) > 3 {
			t.Errorf("the clock is said to have jumped by %v s", change.ByS)
		}
	}
	if got := strings.Join(kinds, " "); got != "restart restart set" {
		t.Errorf("where the clocks part: %s", got)
	}
	file := filepath.Join(t.TempDir(), "fieldlog.yaml")
	if err := os.WriteFile(file, []byte(p.logText()), 0o644); err != nil {
		t.Fatal(err)
	}
	run(t, "-d", dataset, "log", file)
	run(t, "-d", dataset, "tidy", "--dry-run")
	p.unfaulted("ERR_CONNECTION_REFUSED", "ERR_INTERNET_DISCONNECTED", "net::ERR_FAILED")
}

// keptOffline is true once the service worker has all that the page needs.
const keptOffline = `await (async () => { for (const name of await caches.keys()) {
	const kept = name.includes("/track/") ? await (await caches.open(name)).keys() : [];
	if (kept.length >= 7) return !!navigator.serviceWorker.controller;
} return false; })()`

// moment reads a clock time of a log, in seconds since 1970.
func moment(t testing.TB, text string) float64 {
	t.Helper()
	at, err := time.Parse(time.RFC3339Nano, text)
	if err != nil {
		t.Fatal(err)
	}
	return float64(at.UnixMilli()) / 1000
}

// crash kills the renderer of the page, as a phone does that is out of memory, and
// opens the page again.
func (p *phone) crash() {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, time.Second)
	defer cancel()
	chromedp.Call(ctx, page.Crash, cdp.Empty{}) // there is nobody left to answer
	p.do(chromedp.Navigate(p.root + "track/#" + plannedSession))
}
